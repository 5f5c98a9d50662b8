"""The bell's nouns, by hand: parts, where a bell has got to, and the arithmetic of a question about the time."""

from __future__ import annotations

import pytest

from clubapp.engine.clock_state import Offset, Phase, Sample, Schedule, Segment, State, enough, offset

PARTS = [
    ("gather", 60, None),
    ("work", 300, 1),
    ("change", 45, 1),
    ("water", 90, 1),
    ("work", 300, 2),
    ("end", 120, None),
]
SCHEDULE = Schedule(tuple(Segment(kind, seconds, number) for kind, seconds, number in PARTS))


def running(index: int, deadline_ms: int) -> State:
    return State(SCHEDULE, phase=Phase.RUNNING, index=index, deadline_ms=deadline_ms, since_ms=1)


def test_a_schedule_knows_its_rounds_and_what_leads_up_to_them() -> None:
    assert [SCHEDULE.work(number) for number in (1, 2, 3, None)] == [1, 4, None, None]
    assert SCHEDULE.joint(4) == 2  # the change-over after the first round
    assert SCHEDULE.joint(1) == 1  # no work before it
    assert SCHEDULE.ms_after(3) == 420_000
    assert SCHEDULE.ms_after(5) == 0


def test_a_running_bell_gets_on_by_itself() -> None:
    state = running(0, 60_000)
    assert state.settled(59_999) == state
    assert (state.settled(60_000).index, state.settled(60_000).deadline_ms) == (1, 360_000)
    later = state.settled(405_000)
    assert (later.index, later.deadline_ms) == (3, 495_000)
    over = state.settled(10**7)
    assert (over.index, over.is_over, over.deadline_ms) == (6, True, 915_000)


def test_a_bell_that_does_not_run_stays_where_it_is() -> None:
    state = State(SCHEDULE, phase=Phase.PAUSED, index=1, left_ms=1234)
    assert state.settled(10**9) == state
    assert (state.left_at(10**9), state.is_over, state.started) == (1234, False, False)


def test_what_is_left_is_never_less_than_nothing() -> None:
    assert running(1, 5000).left_at(4000) == 1000
    assert running(1, 5000).left_at(6000) == 0
    moved = running(1, 5000).placed(4, 300_000, 70_000)
    assert (moved.index, moved.deadline_ms, moved.left_at(70_000), moved.started) == (4, 370_000, 300_000, True)


def test_a_question_about_the_time() -> None:
    """RFC 5905 section 8: offset ((T2 - T1) + (T3 - T4)) / 2, delay (T4 - T1) - (T3 - T2)."""
    asked = Sample(100.0, 1105.0, 1107.0, 122.0)
    assert (asked.offset_ms, asked.delay_ms) == (995.0, 20.0)
    slow = Sample(100.0, 1205.0, 1207.0, 322.0)
    assert offset([]) is None
    assert offset([slow, asked]) == Offset(995.0, 10.0)
    assert offset([asked, *[slow] * 8]) == Offset(slow.offset_ms, slow.delay_ms / 2)  # the last eight alone
    assert offset([Sample(0.0, 10.0, 20.0, 5.0)]) == Offset(12.5, 0.0)  # a clock set back on the way


@pytest.mark.parametrize(
    ("samples", "waited_ms", "shown"),
    [(3, 9000, False), (4, 1999, False), (4, 2000, True), (7, 1999, False), (8, 0, True)],
)
def test_no_digits_before_enough_is_known(samples: int, waited_ms: float, shown: bool) -> None:
    assert enough(samples, waited_ms) is shown
