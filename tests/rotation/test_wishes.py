"""What a coach may ask of the groups beyond fairness: like with like, guides, ages, other company."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from django.urls import reverse

from clubapp.people.models import Athlete
from clubapp.planning.models import Session
from clubapp.rotation.models import Plan
from clubapp.rotation.queries import met
from clubapp.rotation.wishes import from_stored
from tests.cast import Cast
from tests.rotation.evening import SETTINGS, everybody_here, groups, made, mark, post


def earlier(cast: Cast, weeks: int, *sets: list[Athlete]) -> Plan:
    """A session of the squad so many weeks ago, with these groups."""
    now = cast.session
    session = Session.objects.create(
        club=cast.club, squad=cast.squad, date=now.date - timedelta(weeks=weeks), starts=now.starts, minutes=60
    )
    rows = [{"bib": f"B{at}", "athletes": [str(child.pk) for child in group]} for at, group in enumerate(sets)]
    answer = {"groups": rows, "rounds": [], "timetable": []}
    return Plan.objects.create(session=session, version=1, answer=answer, engine="1", why="built")


def pair(one: Athlete, other: Athlete) -> frozenset[object]:
    return frozenset({one.pk, other.pk})


# --- stored wishes ---


def test_wishes_stored_by_an_earlier_release_take_the_defaults() -> None:
    old = {"groups": 4, "rounds": 3, "balance": ["age"], "not_alone": [], "within_years": None, "dropped": []}
    read = from_stored(old)
    assert (read.groups, read.mode, read.guided, read.largest_age_gap) == (4, "even", False, None)
    assert read.new_company


def test_what_is_asked_is_kept_and_shown_again(cast: Cast) -> None:
    everybody_here(cast)
    asked = {"mode": "like", "largest_age_gap": "5", "guided": "on", "new_company": "on"}
    Athlete.objects.update(sessions_before=9)
    assert post(cast.client(cast.hazel), "build", cast.session, **{**SETTINGS, **asked}).status_code == 302
    wishes = from_stored(Plan.objects.get().wishes)
    assert (wishes.mode, wishes.largest_age_gap, wishes.guided, wishes.new_company) == ("like", 5.0, True, True)
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk]))
    form = page.context["form"]
    shown = [form[name].value() for name in ("mode", "largest_age_gap", "guided", "new_company")]
    assert shown == ["like", "5", True, True]
    assert "like with like in speed, age and skill" in page.content.decode()


def test_an_empty_tick_takes_the_wish_away(cast: Cast) -> None:
    everybody_here(cast)
    post(cast.client(cast.hazel), "build", cast.session, **SETTINGS)
    wishes = from_stored(Plan.objects.get().wishes)
    assert (wishes.mode, wishes.largest_age_gap, wishes.guided, wishes.new_company) == ("even", None, False, False)


@pytest.mark.parametrize(("field", "value"), [("mode", "random"), ("largest_age_gap", "0.1")])
def test_a_wish_that_is_not_offered_is_refused(cast: Cast, field: str, value: str) -> None:
    everybody_here(cast)
    response = post(cast.client(cast.hazel), "build", cast.session, **{**SETTINGS, field: value})
    assert response.status_code == 422
    assert response.context["form"].errors[field]


# --- what the groups are like ---


def test_like_with_like_puts_the_fast_with_the_fast(cast: Cast) -> None:
    children = everybody_here(cast)
    made(cast, mode="like", balance=("speed_s",))
    times = {str(child.pk): 6000 + 137 * (place * 7 % 11) for place, child in enumerate(children)}
    spans = sorted((min(times[c] for c in group), max(times[c] for c in group)) for group in groups(cast.session))
    assert all(before[1] <= after[0] for before, after in pairwise(spans))


def test_the_page_says_what_like_with_like_means(cast: Cast) -> None:
    everybody_here(cast)
    made(cast, mode="like", balance=("speed_s",))
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "Like with like: groups differ by" in page
    assert "No groups more alike inside keep the rules." in page
    assert "fairer" not in page


def test_the_oldest_and_the_youngest_of_a_group_are_near_enough(cast: Cast) -> None:
    children = everybody_here(cast)
    made(cast, largest_age_gap=2.0)
    born = {str(child.pk): child.date_of_birth or date.max for child in children}
    for group in groups(cast.session):
        assert max(born[child] for child in group) - min(born[child] for child in group) <= timedelta(days=731)


def test_first_timers_are_with_somebody_who_has_come_three_times(cast: Cast) -> None:
    children = everybody_here(cast, children=9)
    Athlete.objects.update(sessions_before=0)
    old_hands = children[:3]
    Athlete.objects.filter(pk__in=[child.pk for child in old_hands]).update(sessions_before=3)
    made(cast, guided=True)
    for group in groups(cast.session):
        assert group & {str(child.pk) for child in old_hands}


def test_visits_of_the_register_make_an_old_hand(cast: Cast) -> None:
    children = everybody_here(cast, children=9)
    Athlete.objects.update(sessions_before=0)
    plans = [earlier(cast, weeks) for weeks in (1, 2, 3)]
    for plan in plans:
        for child in children[:3]:
            mark(plan.session, child)
    made(cast, guided=True, new_company=False)
    assert all(group & {str(child.pk) for child in children[:3]} for group in groups(cast.session))


def test_guides_that_are_too_few_come_back_as_a_rule_to_leave_out(cast: Cast) -> None:
    children = everybody_here(cast, children=9)
    Athlete.objects.update(sessions_before=0)
    Athlete.objects.filter(pk=children[0].pk).update(sessions_before=3)
    response = post(cast.client(cast.hazel), "build", cast.session, **{**SETTINGS, "guided": "on"})
    assert response.status_code == 422
    ways = {way.text: way.fields for way in response.context["clashes"]}
    rule = "Every first-timer is to be with somebody who has come three times."
    assert ("dropped", "guided") in ways[rule]
    sent: dict[str, list[str]] = {}
    for name, value in ways[rule]:
        sent.setdefault(name, []).append(value)
    assert cast.client(cast.hazel).post(reverse("rotation:build", args=[cast.session.pk]), sent).status_code == 302


# --- other company ---


def test_having_been_together_counts_half_after_three_weeks(cast: Cast) -> None:
    ada, bo, cleo = cast.athletes[:3]
    earlier(cast, 3, [ada, bo], [cleo])
    assert met(cast.session, [ada.pk, bo.pk, cleo.pk]) == {pair(ada, bo): pytest.approx(0.5)}
    earlier(cast, 6, [ada, bo, cleo])
    found = met(cast.session, [ada.pk, bo.pk])
    assert found == {pair(ada, bo): pytest.approx(0.75)}


def test_only_the_last_plan_of_earlier_sessions_of_the_squad_counts(cast: Cast) -> None:
    ada, bo, cleo = cast.athletes[:3]
    first = earlier(cast, 3, [ada, bo])
    again = {**first.answer, "groups": [{"bib": "Red", "athletes": [str(bo.pk), str(cleo.pk)]}]}
    Plan.objects.create(session=first.session, version=2, answer=again, engine="1", why="moved")
    earlier(cast, -1, [ada, cleo])
    ids = [ada.pk, bo.pk, cleo.pk]
    assert met(cast.session, ids) == {pair(bo, cleo): pytest.approx(0.5)}
    assert met(cast.other_session, ids) == {}


def test_children_meet_others_than_last_week_where_it_costs_nothing(cast: Cast) -> None:
    children = everybody_here(cast)
    rows = [children[at : at + 4] for at in (0, 4, 8)]
    earlier(cast, 1, *rows)
    made(cast, balance=())  # every split is as fair as another
    again = sum(
        {str(a.pk), str(b.pk)} <= group
        for group in groups(cast.session)
        for row in rows
        for at, a in enumerate(row)
        for b in row[at + 1 :]
    )
    assert again == 3  # four children of each old group over three new ones: one pair of each must meet again
