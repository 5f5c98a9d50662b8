"""What a child is likely to run: from every timed test, as of a day; and what groups take for speed."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from clubapp.people.actions import erase_athlete
from clubapp.people.models import Athlete
from clubapp.results.likely import MOST_A_CHILD, likely, likely_seconds
from clubapp.results.models import Result, Trial
from clubapp.rotation.evening import evening_of
from tests.cast import Cast, make_child
from tests.rotation.evening import mark

ON = date(2026, 5, 2)


def timed(cast: Cast, code: str = "speed", **more: str) -> Trial:
    return Trial.objects.get_or_create(club=cast.club, code=code, defaults={"name": code, **more})[0]


def ran(trial: Trial, child: Athlete, value_ms: int, on: date = ON, **more: object) -> Result:
    return Result.objects.create(trial=trial, athlete=child, on=on, value_ms=value_ms, tapped_at=timezone.now(), **more)


def seconds(cast: Cast, child: Athlete, on: date = ON) -> float | None:
    return likely_seconds(cast.club.pk, [child.pk], on).get(child.pk)


def test_nothing_is_known_before_the_first_result(cast: Cast) -> None:
    assert likely(cast.club.pk, ON) is None
    assert likely_seconds(cast.club.pk, [cast.ada.pk], ON) == {}


def test_one_run_moves_a_child_part_of_the_way_to_it(cast: Cast) -> None:
    for child in cast.athletes[1:]:
        ran(timed(cast), child, 7_000)
    ran(timed(cast), cast.ada, 6_000)
    found = seconds(cast, cast.ada)
    assert found is not None
    assert 6.0 < found < 6.9


def test_another_test_tells_of_speed_too(cast: Cast) -> None:
    """Bo and Cleo ran equal times in the sprint; Bo is much the quicker round the box."""
    for child in cast.athletes:
        ran(timed(cast), child, 7_000)
        Athlete.objects.filter(pk=child.pk).update(date_of_birth=date(2015, 3, 1), skill=None)
    _ada, bo, cleo, *others = cast.athletes
    for child in others:
        ran(timed(cast, "box"), child, 11_000)
    ran(timed(cast, "box"), bo, 9_500)
    ran(timed(cast, "box"), cleo, 12_500)
    quick, slow = seconds(cast, bo), seconds(cast, cleo)
    assert quick is not None
    assert slow is not None
    assert quick < slow - 0.1


def test_only_timed_results_that_count_and_were_there_by_the_day_are_looked_at(cast: Cast) -> None:
    for child in cast.athletes:
        ran(timed(cast), child, 7_000, on=ON - timedelta(days=7))
    before = seconds(cast, cast.ada)
    ran(timed(cast), cast.ada, 3_000, on=ON + timedelta(days=1))
    ran(timed(cast), cast.ada, 3_000, state="slipped")
    ran(timed(cast), cast.ada, 3_000, state="void")
    ran(timed(cast, "jump", unit="m"), cast.ada, 1_800)
    assert seconds(cast, cast.ada) == before
    assert seconds(cast, cast.ada, ON + timedelta(days=1)) != before


def test_a_child_without_a_timed_result_is_left_to_those_who_fill_gaps(cast: Cast) -> None:
    ran(timed(cast), cast.ada, 7_000)
    assert set(likely_seconds(cast.club.pk, [child.pk for child in cast.athletes], ON)) == {cast.ada.pk}


def test_without_the_roster_s_test_speed_is_what_most_children_ran(cast: Cast) -> None:
    for child in cast.athletes[:2]:
        ran(timed(cast, "sprint-40-m"), child, 7_000)
    for _again in range(3):
        ran(timed(cast, "box"), cast.ada, 11_000)
    found = likely(cast.club.pk, ON)
    assert found is not None
    assert found.speed_test == "sprint-40-m"


def test_another_club_s_results_say_nothing_here(cast: Cast) -> None:
    zed = cast.other_squad.athletes.get()
    theirs = Trial.objects.create(club=cast.other_squad.club, code="speed", name="Speed")
    ran(theirs, zed, 5_000)
    assert likely(cast.club.pk, ON) is None
    ran(timed(cast), cast.ada, 7_000)
    assert seconds(cast, zed) is None


def test_the_newest_are_looked_at_where_there_are_too_many(cast: Cast) -> None:
    for days in range(MOST_A_CHILD + 5):
        ran(timed(cast), cast.ada, 7_000, on=ON - timedelta(days=days))
    before = seconds(cast, cast.ada)
    Result.objects.filter(on=ON - timedelta(days=MOST_A_CHILD + 4)).update(value_ms=30_000)
    assert seconds(cast, cast.ada) == before
    Result.objects.filter(on=ON - timedelta(days=MOST_A_CHILD - 1)).update(value_ms=8_000)
    assert seconds(cast, cast.ada) != before


def test_an_erased_child_is_looked_at_no_more(cast: Cast) -> None:
    for child in cast.athletes:
        ran(timed(cast), child, 7_000)
    erase_athlete(athlete=cast.ada, by=cast.hazel)
    found = likely(cast.club.pk, ON)
    assert found is not None
    assert cast.ada.pk not in found.children
    assert cast.ada.pk not in found.tested


@pytest.mark.parametrize("days", [0, 400])
def test_groups_take_the_likely_time_of_the_session_s_day(cast: Cast, days: int) -> None:
    """The older the run, the more a child is drawn to its age: what the last watch said is not what groups go by."""
    newcomer = make_child(cast.club, cast.squad, "Gil")
    for child in (*cast.athletes, newcomer):
        mark(cast.session, child)
    day = cast.session.date - timedelta(days=days)
    for child in cast.athletes:
        ran(timed(cast), child, 7_000, on=day)
    ran(timed(cast), cast.ada, 5_000, on=day)
    evening = evening_of(cast.session)
    assert set(evening.speeds) == {child.pk for child in cast.athletes}
    assert evening.speeds[cast.ada.pk] == seconds(cast, cast.ada, cast.session.date)
    assert 5.0 < evening.speeds[cast.ada.pk] < 7.0
    assert evening.speeds[cast.ada.pk] != seconds(cast, cast.ada, day) or not days
