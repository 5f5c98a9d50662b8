"""Sessions made, changed, copied, called off and removed."""

from __future__ import annotations

from datetime import date, time, timedelta
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from clubapp.core.tell import version_of
from clubapp.planning import actions, queries
from clubapp.planning.actions import PlanError, SessionDetails
from clubapp.planning.models import Block, Session, Station
from clubapp.planning.starters import BLOCKS, STARTERS
from tests.cast import Cast
from tests.planning.doors import only_who_runs_it, only_who_works_here

NEW = reverse("planning:session_new")


def answers(cast: Cast, **more: Any) -> dict[str, Any]:
    day = cast.club.today() + timedelta(days=3)
    return {
        "squad": str(cast.squad.pk),
        "date": day.isoformat(),
        "starts": "17:30",
        "minutes": "60",
        "adults": "4",
        "place": "Hall",
        **more,
    }


def page(cast: Cast, session: Session | None = None) -> str:
    return reverse("planning:session", args=[(session or cast.session).pk])


# --- the list ---------------------------------------------------------------------------------------------------------


def test_the_list_shows_own_sessions_only(cast: Cast) -> None:
    path = reverse("planning:sessions")
    assert cast.client().get(path).status_code == 302
    for name in ("sal", "greta"):
        assert cast.client(getattr(cast, name)).get(path).status_code == 404
    for name in ("hazel", "finn"):
        html = cast.client(getattr(cast, name)).get(path).content.decode()
        assert page(cast) in html
        assert page(cast, cast.other_session) not in html
    assert page(cast) not in cast.client(cast.wanda).get(path).content.decode()


def test_the_list_parts_coming_from_past(cast: Cast) -> None:
    cast.session.date -= timedelta(days=7)
    cast.session.save()
    html = cast.client(cast.hazel).get(reverse("planning:sessions")).content.decode()
    assert html.index("No session is planned.") < html.index("Past") < html.index(page(cast))


# --- new --------------------------------------------------------------------------------------------------------------


def test_only_the_head_coach_makes_one(cast: Cast) -> None:
    before = Session.objects.count()
    for method in ("get", "post"):
        assert getattr(cast.client(), method)(NEW, answers(cast)).status_code == 302
        for name in ("sal", "greta", "wanda", "finn"):
            assert getattr(cast.client(getattr(cast, name)), method)(NEW, answers(cast)).status_code == 404
    refused = cast.client(cast.olga).post(NEW, answers(cast))
    assert refused.status_code == 422  # the squad of another club is not offered
    assert Session.objects.count() == before


def test_a_new_session_is_ready_to_run(cast: Cast) -> None:
    answer = cast.client(cast.hazel).post(NEW, answers(cast))
    made = Session.objects.exclude(pk__in=[cast.session.pk, cast.other_session.pk]).get()
    assert answer["Location"] == page(cast, made)
    assert (made.starts, made.minutes, made.place, made.club) == (time(17, 30), 60, "Hall", cast.club)
    assert [station.name for station in queries.stations(made)] == [str(starter.name) for starter in STARTERS]
    assert [block.kind for block in queries.blocks(made)] == [kind for kind, _seconds in BLOCKS]
    assert queries.rotation_minutes(made) == 40


def test_a_session_sent_twice_is_made_once(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    client.post(NEW, answers(cast))
    again = client.post(NEW, answers(cast))
    assert again.status_code == 422
    assert "has a session at this time already" in again.content.decode()
    made = Session.objects.exclude(pk__in=[cast.session.pk, cast.other_session.pk])
    assert made.count() == 1
    made.update(called_off=True)
    assert client.post(NEW, answers(cast)).status_code == 302


def test_the_form_comes_filled_in_like_the_last_session(cast: Cast) -> None:
    form = cast.client(cast.hazel).get(NEW).content.decode()
    week_later = cast.session.date + timedelta(days=7)
    for value in (week_later.isoformat(), "10:00", "60", "River field"):
        assert f'value="{value}"' in form


def test_without_a_last_session_today_at_ten_is_offered(cast: Cast) -> None:
    Session.objects.all().delete()
    form = cast.client(cast.hazel).get(NEW).content.decode()
    assert f'value="{cast.club.today().isoformat()}"' in form
    assert 'value="10:00"' in form


def test_a_short_session_keeps_only_the_rotation(cast: Cast) -> None:
    details = SessionDetails(date=cast.club.today(), starts=time(9, 0), minutes=20)
    made = actions.make_session(club=cast.club, squad=cast.squad, details=details)
    assert [block.kind for block in queries.blocks(made)] == [Block.Kind.ROTATION]
    assert queries.rotation_minutes(made) == 20


@pytest.mark.parametrize(
    "bad",
    [
        {"date": "someday"},
        {"date": "1999-12-31"},
        {"date": (date.today() + timedelta(days=4000)).isoformat()},
        {"starts": "25:00"},
        {"minutes": "5"},
        {"minutes": "301"},
        {"adults": "-1"},
        {"place": "p" * 81},
        {"squad": ""},
    ],
    ids=str,
)
def test_bad_answers_make_nothing_and_keep_what_was_typed(cast: Cast, bad: dict[str, str]) -> None:
    before = Session.objects.count()
    answer = cast.client(cast.hazel).post(NEW, answers(cast, **bad))
    assert answer.status_code == 422
    assert "Nothing is saved yet" in answer.content.decode()
    assert "Hall" in answer.content.decode() or "place" in bad
    assert Session.objects.count() == before


# --- one session ------------------------------------------------------------------------------------------------------


def test_access(cast: Cast) -> None:
    only_who_works_here(cast, page(cast))
    only_who_runs_it(cast, page(cast), answers(cast))
    for name in ("session_copy", "call_off", "session_remove"):
        only_who_runs_it(cast, reverse(f"planning:{name}", args=[cast.session.pk]))
    cast.session.refresh_from_db()
    assert (cast.session.place, cast.session.called_off, Session.objects.count()) == ("River field", False, 2)


def test_changes_are_kept_and_told(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    answer = client.post(page(cast), answers(cast, minutes="75", leader=str(cast.finn.pk)))
    assert answer.status_code == 302
    cast.session.refresh_from_db()
    assert (cast.session.minutes, cast.session.place, cast.session.leader) == (75, "Hall", cast.finn)
    assert version_of(cast.session.pk) == 1


def test_an_assistant_who_leads_runs_the_bell_and_changes_nothing_that_was_planned(cast: Cast) -> None:
    cast.session.leader = cast.finn
    cast.session.save()
    client = cast.client(cast.finn)
    assert client.post(page(cast), answers(cast, leader=str(cast.finn.pk))).status_code == 404
    assert client.post(reverse("planning:session_remove", args=[cast.session.pk])).status_code == 404
    assert 'name="minutes"' not in client.get(page(cast)).content.decode()


def test_the_meeting_place_is_kept_copied_and_offered_next_time(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    assert client.post(page(cast), answers(cast, meeting_place="the gym, north door")).status_code == 302
    cast.session.refresh_from_db()
    assert cast.session.meeting_place == "the gym, north door"
    copy = actions.copy_session(session=cast.session, by=cast.hazel)
    assert copy.meeting_place == "the gym, north door"
    assert "the gym, north door" in client.get(NEW).content.decode()


def test_an_assistant_reads_without_forms(cast: Cast) -> None:
    html = cast.client(cast.finn).get(page(cast)).content.decode()
    assert "Station 1" in html
    assert 'name="minutes"' not in html
    assert "Remove" not in html


def test_a_stranger_cannot_be_made_leader(cast: Cast) -> None:
    answer = cast.client(cast.hazel).post(page(cast), answers(cast, leader=str(cast.sal.pk)))
    assert answer.status_code == 422


def test_fewer_minutes_than_the_blocks_need_are_refused(cast: Cast) -> None:
    answer = cast.client(cast.hazel).post(page(cast), answers(cast, minutes="10"))
    assert answer.status_code == 422
    assert "The blocks need 12 minutes" in answer.content.decode()
    cast.session.refresh_from_db()
    assert (cast.session.minutes, cast.session.place) == (60, "River field")


def test_a_copy_has_everything_but_the_day(cast: Cast) -> None:
    station = Station.objects.filter(session=cast.session).earliest("number")
    station.kit = {"cones": 8}
    station.tools = "watch"
    station.save()
    answer = cast.client(cast.hazel).post(reverse("planning:session_copy", args=[cast.session.pk]))
    copy = Session.objects.get(pk=answer["Location"].strip("/").split("/")[-1])
    assert copy.date == cast.session.date + timedelta(days=7)
    fields = ("number", "name", "set_up", "x_m", "y_m", "intensity", "groups_min", "groups_max", "kit", "tools")
    assert list(queries.stations(copy).values(*fields)) == list(queries.stations(cast.session).values(*fields))
    parts = ("position", "kind", "seconds")
    assert list(queries.blocks(copy).values(*parts)) == list(queries.blocks(cast.session).values(*parts))


@pytest.mark.parametrize(("days_ago", "ahead"), [(0, 7), (6, 1), (7, 0), (8, 6), (30, 5)])
def test_a_copy_keeps_the_weekday_and_never_lies_in_the_past(cast: Cast, days_ago: int, ahead: int) -> None:
    today = cast.club.today()
    cast.session.date = today - timedelta(days=days_ago)
    copy = actions.copy_session(session=cast.session, by=cast.hazel)
    assert (copy.date - today).days == ahead
    assert copy.date.weekday() == cast.session.date.weekday()


def test_called_off_and_on_again(cast: Cast) -> None:
    client, path = cast.client(cast.hazel), reverse("planning:call_off", args=[cast.session.pk])
    client.post(path, {"off": "yes"})
    assert "This session is called off." in client.get(page(cast)).content.decode()
    client.post(path, {"on": "yes"})
    cast.session.refresh_from_db()
    assert not cast.session.called_off


def test_a_session_to_come_can_be_removed(cast: Cast) -> None:
    cast.session.date += timedelta(days=2)
    cast.session.save()
    answer = cast.client(cast.hazel).post(reverse("planning:session_remove", args=[cast.session.pk]))
    assert answer["Location"] == reverse("planning:sessions")
    assert not Session.objects.filter(pk=cast.session.pk).exists()


def test_a_session_that_has_begun_stays_on_record(cast: Cast) -> None:
    cast.session.date = timezone.now().date() - timedelta(days=1)
    cast.session.save()
    client = cast.client(cast.hazel)
    answer = client.post(reverse("planning:session_remove", args=[cast.session.pk]))
    assert "stays on record" in client.get(answer["Location"]).content.decode()
    assert "Remove this session" not in client.get(page(cast)).content.decode()
    with pytest.raises(PlanError):
        actions.remove_session(session=cast.session, by=cast.hazel)
    assert Session.objects.filter(pk=cast.session.pk).exists()
