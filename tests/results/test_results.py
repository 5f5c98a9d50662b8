"""The ledger: the newest value counts, a corrected one does not."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from clubapp.results import actions, queries, roster
from clubapp.results.models import Result, Trial
from tests.cast import Cast

TODAY = date(2026, 5, 2)


def test_the_newest_date_counts_then_the_newest_entry(cast: Cast) -> None:
    for value, on in ((7000, TODAY), (8000, TODAY - timedelta(days=7)), (7500, TODAY)):
        actions.add_speeds(club_id=cast.club.pk, milliseconds={cast.ada.pk: value}, on=on)
    assert queries.latest_seconds([cast.ada.pk, cast.athletes[1].pk]) == {cast.ada.pk: 7.5}


def test_a_corrected_value_does_not_count(cast: Cast) -> None:
    (wrong,) = actions.add_speeds(club_id=cast.club.pk, milliseconds={cast.ada.pk: 7000}, on=TODAY)
    old = Result.objects.get(pk=wrong)
    earlier = TODAY - timedelta(days=1)
    Result.objects.create(
        trial=old.trial, athlete=cast.ada, on=earlier, value_ms=9000, replaces=old, tapped_at=timezone.now()
    )
    assert queries.latest_seconds([cast.ada.pk]) == {cast.ada.pk: 9.0}
    actions.take_back(result_ids=[wrong])
    assert Result.objects.count() == 2


def test_each_club_has_one_speed_trial(cast: Cast) -> None:
    for child in cast.athletes[:2]:
        actions.add_speeds(club_id=cast.club.pk, milliseconds={child.pk: 7000}, on=TODAY)
    assert Trial.objects.count() == 1


def test_another_trial_is_another_value(cast: Cast) -> None:
    actions.add_speeds(club_id=cast.club.pk, milliseconds={cast.ada.pk: 7000}, on=TODAY)
    assert queries.latest_seconds([cast.ada.pk], code="jump") == {}


def test_taking_back_and_erasing(cast: Cast) -> None:
    ada, bo = cast.athletes[:2]
    made = actions.add_speeds(club_id=cast.club.pk, milliseconds={ada.pk: 7000, bo.pk: 8000}, on=TODAY)
    actions.take_back(result_ids=made[:1])
    assert queries.latest_seconds([ada.pk, bo.pk]) == {bo.pk: 8.0}
    assert [row["seconds"] for row in queries.export_child(bo.pk)] == [8.0]
    actions.erase_child(bo.pk)
    assert not Result.objects.exists()


@pytest.mark.parametrize(("text", "milliseconds"), [("7.42", 7420), ("7,4215", 7422), ("0.001", 1)])
def test_a_cell_becomes_whole_milliseconds(text: str, milliseconds: int) -> None:
    assert roster.check(text) == milliseconds


@pytest.mark.parametrize("text", ["", "0", "0.0001", "fast", "-1"])
def test_a_cell_that_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        roster.check(text)


def test_the_cell_of_a_value_is_the_shortest(cast: Cast) -> None:
    actions.add_speeds(club_id=cast.club.pk, milliseconds={cast.ada.pk: 7420}, on=TODAY)
    actions.add_speeds(club_id=cast.club.pk, milliseconds={cast.athletes[1].pk: 10000}, on=TODAY)
    assert set(roster.current([child.pk for child in cast.athletes]).values()) == {"7.42", "10"}
