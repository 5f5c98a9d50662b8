"""A watch's reading goes into the ledger: once, rounded when it is read, several watches made one, history kept."""

from __future__ import annotations

import uuid
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db.models import F
from django.utils import timezone

from clubapp.people.actions import erase_athlete
from clubapp.results import actions, queries
from clubapp.results.actions import Reading, RefusedError, Sent, record_result
from clubapp.results.models import Result, Trial
from clubapp.results.starters import Starter
from tests.cast import Cast

State = Result.State


@pytest.fixture
def trial(cast: Cast) -> Trial:
    return actions.ensure_trial(club=cast.club, test=Starter("sprint-40-m", "Sprint 40 m", 40))


def reading(cast: Cast, trial: Trial, value_ms: int = 7_110, **more: Any) -> Reading:
    return Reading(**{"trial": trial, "athlete": cast.ada, "value_ms": value_ms, **more})


def phone(name: str = "one", **more: Any) -> Sent:
    return Sent(device=name, **more)


def counted(cast: Cast) -> list[tuple[int, str]]:
    return [(run.attempt, run.text) for run in queries.runs(queries.current().filter(athlete=cast.ada))]


def test_a_reading_is_kept_as_read_and_counts_in_tenths(cast: Cast, trial: Trial) -> None:
    answer = record_result(reading=reading(cast, trial), sent=phone(by=cast.finn))
    row = Result.objects.get()
    assert (row.value_ms, row.timing, row.by, row.device) == (7_110, "hand", cast.finn, "one")
    assert answer == {"result": str(row.pk), "ms": 7_200, "text": "7.2", "watches": 1, "state": ""}
    assert queries.latest_seconds([cast.ada.pk], trial.code) == {cast.ada.pk: 7.2}


def test_a_test_without_the_rule_and_a_time_taken_electronically_keep_their_hundredths(
    cast: Cast, trial: Trial
) -> None:
    assert record_result(reading=reading(cast, trial, timing="electronic"), sent=phone())["text"] == "7.11"
    Trial.objects.update(hand_rounding=False)
    plain = Trial.objects.get()
    assert record_result(reading=reading(cast, plain, attempt=2), sent=phone())["text"] == "7.11"


def test_the_same_write_twice_is_one_result_with_one_answer(cast: Cast, trial: Trial) -> None:
    sent = phone()
    first = record_result(reading=reading(cast, trial), sent=sent)
    record_result(reading=reading(cast, trial, 7_300), sent=phone("two"))
    assert record_result(reading=reading(cast, trial), sent=sent) == first
    assert Result.objects.count() == 2
    for other in ({"value_ms": 7_111}, {"athlete": cast.athletes[1]}):
        with pytest.raises(RefusedError, match="something else"):
            record_result(reading=reading(cast, trial, **other), sent=sent)


# --- several watches -----------------------------------------------------------------------------------------------


def test_watches_of_one_run_are_rounded_and_made_one(cast: Cast, trial: Trial) -> None:
    seen = []
    for name, ms in (("one", 10_110), ("two", 10_310), ("three", 10_180)):
        answer = record_result(reading=reading(cast, trial, ms), sent=phone(name))
        seen.append((answer["text"], answer["watches"]))
    assert seen == [("10.2", 1), ("10.4", 2), ("10.2", 3)]
    assert counted(cast) == [(1, "10.2")]


def test_what_is_no_run_seen_by_both_stays_two(cast: Cast, trial: Trial) -> None:
    now = timezone.now() - timedelta(minutes=10)
    record_result(reading=reading(cast, trial, ran_at=now), sent=phone("one"))
    for other, sent in (
        (reading(cast, trial, 7_300, ran_at=now + timedelta(seconds=61)), phone("two")),  # another minute
        (reading(cast, trial, 7_400, ran_at=now, attempt=2), phone("two")),  # another attempt
        (reading(cast, trial, 7_500, ran_at=now), phone("one")),  # the same watch
        (reading(cast, trial, 7_600, ran_at=now, timing="electronic"), phone("two")),
        (reading(cast, trial, 7_700, ran_at=now), phone("")),  # nobody knows which watch
        (reading(cast, trial, 7_800, ran_at=now, athlete=cast.athletes[1]), phone("two")),
    ):
        assert record_result(reading=other, sent=sent)["watches"] == 1


def test_one_adult_who_saw_the_child_slip_is_enough(cast: Cast, trial: Trial) -> None:
    record_result(reading=reading(cast, trial), sent=phone("one"))
    record_result(reading=reading(cast, trial, 7_000, state=State.SLIPPED), sent=phone("two"))
    (run,) = queries.runs(queries.current())
    assert (run.watches, run.counts) == (2, False)
    assert queries.latest_seconds([cast.ada.pk], trial.code) == {}
    assert queries.best([run]) is None


def test_the_best_is_the_shortest_time_or_the_longest_way_that_counts(cast: Cast, trial: Trial) -> None:
    for attempt, (ms, state) in enumerate(((7_310, ""), (7_010, "slipped"), (7_220, ""), (7_290, "")), start=1):
        record_result(reading=reading(cast, trial, ms, attempt=attempt, state=state), sent=phone())
    found = queries.runs_on([cast.ada.pk], cast.club.today())
    best = queries.best(found)
    assert best is not None
    assert (len(found), best.attempt, best.text) == (4, 3, "7.3")  # 7.22 and 7.29 are equal in tenths: the earlier
    Trial.objects.update(unit="m", better="more", hand_rounding=False)
    longest = queries.best(queries.runs_on([cast.ada.pk], cast.club.today()))
    assert longest is not None
    assert longest.ms == 7_310


def test_bests_of_a_day_a_season_and_ever(cast: Cast, trial: Trial) -> None:
    noon = timezone.now().replace(hour=12)
    for days, ms, timing in ((400, 6_900, "hand"), (30, 7_300, "hand"), (20, 6_000, "electronic"), (0, 7_100, "hand")):
        ran_at = noon - timedelta(days=days + 1)
        record_result(reading=reading(cast, trial, ms, ran_at=ran_at, timing=timing), sent=phone())
    on = (noon - timedelta(days=1)).date()
    everything = queries.runs_until([cast.ada.pk], on)
    found = queries.bests(everything, on=on, season_from=on - timedelta(days=100))
    assert [run and run.text for run in (found.day, found.season, found.ever, found.before)] == [
        "7.1",
        "7.1",
        "6.9",
        "6.9",
    ]
    assert not found.is_personal
    lately = [run for run in everything if run.on > on - timedelta(days=100)]
    assert queries.bests(lately, on=on, season_from=on).is_personal
    assert not queries.bests([run for run in lately if run.on == on], on=on, season_from=on).is_personal
    nothing = queries.bests([], on=on, season_from=on)
    assert (nothing.day, nothing.ever, nothing.is_personal) == (None, None, False)


# --- corrections ---------------------------------------------------------------------------------------------------


def test_a_correction_keeps_what_it_corrects(cast: Cast, trial: Trial) -> None:
    first, again = phone(), phone()
    record_result(reading=reading(cast, trial), sent=first)
    record_result(reading=reading(cast, trial, 6_900, replaces=first.op_id), sent=again)
    assert counted(cast) == [(1, "6.9")]
    record_result(reading=reading(cast, trial, 6_950, replaces=first.op_id), sent=phone("two"))  # unseen by one another
    assert counted(cast) == [(1, "7.0")]
    chain = Result.objects.exclude(replaces=None).values_list("value_ms", "replaces__value_ms")
    assert sorted(chain) == [(6_900, 7_110), (6_950, 6_900)]
    assert [row["state"] for row in queries.export_child(cast.ada.pk)] == ["counts"] * 3


def test_one_that_was_taken_back_counts_nowhere_and_stays_on_record(cast: Cast, trial: Trial) -> None:
    sent = phone()
    record_result(reading=reading(cast, trial), sent=sent)
    answer = record_result(reading=reading(cast, trial, replaces=sent.op_id, state=State.VOID), sent=phone())
    assert (answer["state"], answer["watches"]) == ("void", 1)
    assert (counted(cast), Result.objects.count()) == ([], 2)
    record_result(reading=reading(cast, trial, replaces=sent.op_id), sent=phone())  # after all
    assert counted(cast) == [(1, "7.2")]


def test_only_the_own_time_on_the_same_test_can_be_corrected(cast: Cast, trial: Trial) -> None:
    sent = phone()
    record_result(reading=reading(cast, trial), sent=sent)
    other = actions.ensure_trial(club=cast.club, test=Starter("sprint-20-m", "Sprint 20 m", 20))
    good = reading(cast, trial, 6_900, replaces=sent.op_id)
    wrong = replace(good, athlete=cast.athletes[1]), replace(good, trial=other), replace(good, replaces=uuid.uuid4())
    for one in wrong:
        with pytest.raises(RefusedError, match="not with the club"):
            record_result(reading=one, sent=phone())
    assert Result.objects.count() == 1


# --- when, and who -------------------------------------------------------------------------------------------------


def test_the_day_is_the_club_s_when_the_child_ran_and_never_to_come(cast: Cast, trial: Trial) -> None:
    late = datetime(2026, 7, 3, 23, 30, tzinfo=UTC)  # half past midnight in London
    record_result(reading=reading(cast, trial, ran_at=late), sent=phone())
    assert f"{Result.objects.get().on}" == "2026-07-04"
    ahead = timezone.now() + timedelta(days=2)
    record_result(reading=reading(cast, trial, ran_at=ahead, attempt=2), sent=phone(tapped_at=ahead))
    row = Result.objects.get(attempt=2)
    assert row.on == cast.club.today()
    assert Result.objects.filter(attempt=2, ran_at__lte=F("received_at") + timedelta(seconds=1)).exists()


def test_a_helper_is_kept_by_the_pass_and_a_doubt_is_kept_too(cast: Cast, trial: Trial) -> None:
    entry = uuid.uuid4()
    record_result(reading=reading(cast, trial, doubtful=True), sent=phone(helper=entry))
    row = Result.objects.get()
    assert (row.by, row.helper) == (None, entry)
    assert queries.run_of(row).doubtful


def test_a_test_is_made_once(cast: Cast, trial: Trial) -> None:
    assert actions.ensure_trial(club=cast.club, test=Starter("sprint-40-m", "Another name")) == trial
    assert [(row.name, row.distance_m, row.unit, row.hand_rounding) for row in queries.trials_of(cast.club)] == [
        ("Sprint 40 m", 40, "s", True)
    ]


def test_erasing_a_child_erases_its_times_and_nobody_else_s(cast: Cast, trial: Trial) -> None:
    sent = phone()
    record_result(reading=reading(cast, trial), sent=sent)
    record_result(reading=reading(cast, trial, replaces=sent.op_id, state=State.VOID), sent=phone())
    record_result(reading=reading(cast, trial, athlete=cast.athletes[1]), sent=phone())
    erase_athlete(athlete=cast.ada, by=cast.hazel)
    assert [row.athlete for row in Result.objects.all()] == [cast.athletes[1]]
