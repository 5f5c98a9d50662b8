"""The first page of everybody: who is sent where, and what the next step is."""

from __future__ import annotations

import re
from datetime import datetime, time, timedelta

from django.http import HttpResponse
from django.urls import reverse
from django.utils import timezone

from clubapp.desk.queries import Home, home_for, nav_for
from clubapp.live.models import Command, Room
from clubapp.people.models import Athlete, Guardian, Guardianship, Membership, Role, User
from clubapp.planning.models import Session
from clubapp.register.actions import Said, Tap, finish_register, mark, mark_here
from clubapp.register.models import Mark
from clubapp.rotation.models import Plan
from tests.cast import Cast, SessionFactory, make_child

HOME = "/"


def words(response: HttpResponse) -> str:
    assert response.status_code == 200
    return " ".join(re.sub(r"<[^>]*>", " ", response.content.decode()).split())


def main_link(response: HttpResponse) -> str:
    """Where the one button at the thumb leads."""
    thumb = response.content.decode().split('<div class="thumb">')[1].split("<footer")[0]
    links = re.findall(r'href="([^"]*)"', thumb)
    assert len(links) <= 1
    return links[0] if links else ""


def address(name: str, cast: Cast) -> str:
    return reverse(name, args=[cast.session.pk])


def mark_all(cast: Cast) -> None:
    for athlete in cast.athletes:
        mark_here(session=cast.session, athlete=athlete, tap=Tap(by=cast.hazel))


def make_plan(cast: Cast, children: tuple[Athlete, ...]) -> None:
    ids = [str(child.pk) for child in children]
    groups = [{"bib": "Red", "athletes": ids[::2]}, {"bib": "Blue", "athletes": ids[1::2]}]
    answer = {"groups": groups, "rounds": [[None, None]], "timetable": []}
    Plan.objects.create(session=cast.session, version=1, answer=answer, engine="test", why="built")


def ring(cast: Cast, *, ended: bool = False) -> None:
    room = Room.objects.create(session=cast.session, ended_at=timezone.now() if ended else None)
    Command.objects.create(room=room, seq=1, seen=0, kind="start", at_ms=0, tapped_at=timezone.now())


def begin(cast: Cast) -> None:
    """The session began five minutes ago, whatever the time of day is."""
    start = (timezone.now() - timedelta(minutes=5)).astimezone(cast.club.zone)
    Session.objects.filter(pk=cast.session.pk).update(date=start.date(), starts=start.time())


def home(user: User, now: datetime | None = None) -> Home:
    nav = nav_for(user)
    assert nav is not None
    return home_for(user, nav, now)


# --- who is sent where ---------------------------------------------------------------------------------------------


def test_the_anonymous_sign_in_first(cast: Cast) -> None:
    response = cast.client().get(HOME)
    assert response.status_code == 302
    assert response["Location"] == f"{reverse('people:sign_in')}?next=/"


def test_a_guardian_finds_the_children(cast: Cast) -> None:
    assert cast.client(cast.greta).get(HOME)["Location"] == reverse("family:home")


def test_a_stranger_and_the_welfare_officer_are_told_whom_to_ask(cast: Cast) -> None:
    assert "You belong to no club here yet." in words(cast.client(cast.sal).get(HOME))
    assert "You are the welfare officer of Alder Bank" in words(cast.client(cast.wanda).get(HOME))


def test_a_coach_who_is_a_guardian_finds_both(cast: Cast) -> None:
    guardian = Guardian.objects.create(club=cast.club, user=cast.hazel, name="Hazel")
    Guardianship.objects.create(guardian=guardian, athlete=cast.athletes[3])
    page = cast.client(cast.hazel).get(HOME)
    assert "Register" in words(page)
    assert f'href="{reverse("family:home")}"' in page.content.decode()


def test_another_club_sees_its_own_session_only(cast: Cast) -> None:
    page = cast.client(cast.olga).get(HOME).content.decode()
    assert str(cast.other_session.pk) in page
    assert str(cast.session.pk) not in page
    assert "Alder Bank" not in page


def test_only_get_is_answered(cast: Cast) -> None:
    assert cast.client(cast.hazel).post(HOME).status_code == 405


# --- the links of each role ----------------------------------------------------------------------------------------


def links(cast: Cast, user: User) -> list[str]:
    page = cast.client(user).get(HOME, follow=True).content.decode()
    return [link for nav in re.findall(r"<nav.*?</nav>", page, re.S) for link in re.findall(r'href="([^"]*)"', nav)]


def test_each_role_gets_its_own_links(cast: Cast) -> None:
    squad, sessions, tests = (reverse(name) for name in ("people:athletes", "planning:sessions", "results:tests"))
    children = reverse("family:home")
    assert links(cast, cast.hazel) == [HOME, squad, sessions, tests]
    assert links(cast, cast.finn) == [HOME]
    assert links(cast, cast.greta) == [children]
    assert links(cast, cast.sal) == []


# --- the next step -------------------------------------------------------------------------------------------------


def test_first_comes_the_register(cast: Cast) -> None:
    page = cast.client(cast.hazel).get(HOME)
    assert main_link(page) == address("register:register", cast)
    assert "nobody marked yet" in words(page)


def test_a_begun_register_says_how_many_are_not_marked(cast: Cast) -> None:
    begin(cast)
    mark_here(session=cast.session, athlete=cast.ada, tap=Tap(by=cast.hazel))
    page = cast.client(cast.hazel).get(HOME)
    assert "5 not marked yet 1 here" in words(page)
    assert main_link(page) == address("register:register", cast)


def test_a_finished_register_leads_to_the_groups(cast: Cast) -> None:
    begin(cast)
    mark_here(session=cast.session, athlete=cast.ada, tap=Tap(by=cast.hazel))
    finish_register(session=cast.session, by=cast.hazel)
    page = cast.client(cast.hazel).get(HOME)
    assert main_link(page) == address("rotation:plan", cast)
    assert "finished, 5 not marked yet" in words(page)


def test_groups_lead_to_the_bell(cast: Cast) -> None:
    begin(cast)
    mark_all(cast)
    make_plan(cast, cast.athletes)
    page = cast.client(cast.hazel).get(HOME)
    assert main_link(page) == address("live:bell", cast)
    assert "2 groups" in words(page)


def test_a_child_in_no_group_leads_back_to_the_groups(cast: Cast) -> None:
    begin(cast)
    mark_all(cast)
    make_plan(cast, cast.athletes[:5])
    page = cast.client(cast.hazel).get(HOME)
    assert main_link(page) == address("rotation:plan", cast)
    assert "1 child here, in no group" in words(page)


def test_a_running_bell_comes_before_everything(cast: Cast) -> None:
    make_plan(cast, cast.athletes)
    ring(cast)
    page = cast.client(cast.hazel).get(HOME)
    assert main_link(page) == address("live:bell", cast)
    assert "running now" in words(page)


def test_after_the_end_every_child_is_seen_off(cast: Cast) -> None:
    begin(cast)
    mark_all(cast)
    make_plan(cast, cast.athletes)
    ring(cast, ended=True)
    page = cast.client(cast.hazel).get(HOME)
    assert main_link(page) == address("register:going_home", cast)
    assert "not over yet 6 still here" in words(page)


def test_after_the_last_child_nothing_is_left_to_do(cast: Cast) -> None:
    begin(cast)
    mark_all(cast)
    make_plan(cast, cast.athletes)
    ring(cast, ended=True)
    for child in cast.athletes:
        gone = Said(Mark.Kind.LEFT, with_whom="Greta", went=Mark.Went.ADULT)
        mark(session=cast.session, athlete=child, said=gone, tap=Tap(by=cast.hazel))
    page = cast.client(cast.hazel).get(HOME)
    assert main_link(page) == ""
    assert "nobody is still here" in words(page)


def test_an_assistant_is_not_sent_to_make_groups(cast: Cast) -> None:
    begin(cast)
    mark_all(cast)
    assert main_link(cast.client(cast.finn).get(HOME)) == address("live:bell", cast)


# --- which session ---------------------------------------------------------------------------------------------------


def start_of(cast: Cast, hour: int) -> datetime:
    return datetime.combine(cast.session.date, time(hour, 0), tzinfo=cast.club.zone)


def test_todays_session_stays_all_day(cast: Cast) -> None:
    SessionFactory(club=cast.club, squad=cast.squad, date=cast.session.date + timedelta(days=7))
    shown = [home(cast.hazel, start_of(cast, hour)).tonight for hour in (6, 10, 11, 23)]
    assert [(one.session, one.today) for one in shown if one] == [(cast.session, True)] * 4


def test_a_second_session_of_the_day_takes_over_an_hour_after_the_first(cast: Cast) -> None:
    second = SessionFactory(club=cast.club, squad=cast.squad, date=cast.session.date, starts=time(18, 0))
    shown = [home(cast.hazel, start_of(cast, hour)).tonight for hour in (11, 12)]
    assert [one.session for one in shown if one] == [cast.session, second]


def test_the_next_day_shows_the_next_session(cast: Cast) -> None:
    later = SessionFactory(club=cast.club, squad=cast.squad, date=cast.session.date + timedelta(days=7))
    tonight = home(cast.hazel, start_of(cast, 10) + timedelta(days=1)).tonight
    assert tonight is not None
    assert (tonight.session, tonight.today) == (later, False)


def test_the_one_after_midnight_is_still_shown(cast: Cast) -> None:
    Session.objects.filter(pk=cast.session.pk).update(starts=time(23, 30))
    tonight = home(cast.hazel, start_of(cast, 23) + timedelta(hours=1, minutes=15)).tonight
    assert tonight is not None
    assert tonight.session == cast.session
    assert tonight.ends == time(0, 30)


def test_one_of_yesterday_that_is_not_over_stands_above_todays(cast: Cast) -> None:
    """It does not stand in today's place, and is not called the next one where it does."""
    Session.objects.filter(pk=cast.session.pk).update(date=cast.club.today() - timedelta(days=1), starts=time(18, 0))
    cast.session.refresh_from_db()
    mark_all(cast)
    morning = datetime.combine(cast.club.today(), time(9, 0), tzinfo=cast.club.zone)
    alone = home(cast.hazel, morning)
    assert alone.tonight is not None
    assert (alone.tonight.session, alone.tonight.heading, alone.not_over) == (cast.session, "Not over yet", ())
    today = SessionFactory(club=cast.club, squad=cast.squad, date=cast.club.today(), starts=time(23, 50))
    both = home(cast.hazel, morning)
    assert both.tonight is not None
    assert (both.tonight.session, both.tonight.heading) == (today, "Today")
    assert both.not_over == ((cast.session, 6),)
    assert both.coming == ()


def test_a_session_called_off_is_passed_over(cast: Cast) -> None:
    Session.objects.filter(pk=cast.session.pk).update(called_off=True)
    assert home(cast.hazel, start_of(cast, 9)).tonight is None


def test_coming_sessions_stand_after_the_next(cast: Cast) -> None:
    weeks = [
        SessionFactory(club=cast.club, squad=cast.squad, date=cast.session.date + timedelta(weeks=n)) for n in (2, 1)
    ]
    assert home(cast.hazel, start_of(cast, 9)).coming == (weeks[1], weeks[0])


# --- what to do first ------------------------------------------------------------------------------------------------


def test_an_empty_club_brings_in_its_list_first(cast: Cast) -> None:
    Session.objects.all().delete()
    Athlete.objects.filter(club=cast.club).delete()
    page = cast.client(cast.hazel).get(HOME)
    assert main_link(page) == reverse("people:roster_import")
    assert "What to do first" in words(page)


def test_a_club_with_a_list_makes_a_session(cast: Cast) -> None:
    Session.objects.all().delete()
    page = cast.client(cast.hazel).get(HOME)
    assert main_link(page) == reverse("planning:session_new")
    assert "6 children" in words(page)


def test_an_assistant_without_a_session_is_told_who_makes_them(cast: Cast) -> None:
    Session.objects.all().delete()
    page = cast.client(cast.finn).get(HOME)
    assert main_link(page) == ""
    assert "The head coach makes them" in words(page)


def test_children_written_down_in_a_hurry_wait_for_the_head_coach_alone(cast: Cast) -> None:
    child = make_child(cast.club, cast.squad, "Ivo")
    Athlete.objects.filter(pk=child.pk).update(details_wanted=True)
    assert home(cast.hazel).unfinished == (child,)
    assert home(cast.finn).unfinished == ()
    assert reverse("people:athlete", args=[child.pk]) in cast.client(cast.hazel).get(HOME).content.decode()


def test_a_head_coach_of_one_club_who_helps_in_another_sees_the_coached_one(cast: Cast) -> None:
    Membership.objects.create(user=cast.olga, club=cast.club, role=Role.ASSISTANT).squads.add(cast.squad)
    tonight = home(cast.olga).tonight
    assert tonight is None or tonight.session == cast.other_session
