"""The bell as a folded log: what each command does, and what must hold whatever is tapped."""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import clock
from clubapp.engine.clock import Command, Kind, Phase, Reason, Schedule, Segment, State, Why
from tests.strategies import examples

T = 1_700_000_000_000  # an instant
PARTS = (
    Segment("gather", 60),
    Segment("work", 300, 1),
    Segment("change", 45, 1),
    Segment("work", 300, 2),
    Segment("water", 120, 2),
    Segment("cool-down", 180),
)
SCHEDULE = Schedule(PARTS)
WHOLE_MS = sum(part.ms for part in PARTS)
VECTORS = json.loads((Path(__file__).parents[1] / "vectors/clock.json").read_text())


def begun() -> State:
    """Started at T."""
    return do(clock.waiting(SCHEDULE, 7), Kind.START, T)


def tap(state: State, kind: Kind, at_ms: int, **more: Any) -> clock.Step:
    """A command of somebody who has seen everything."""
    command = Command(**{"kind": kind, "seq": state.seq + 1, "seen": state.seq, "at_ms": at_ms, **more})
    return clock.step(state, command, at_ms)


def do(state: State, kind: Kind, at_ms: int, **more: Any) -> State:
    done = tap(state, kind, at_ms, **more)
    assert (done.accepted, done.why) == (True, Why.NONE)
    return done.state


def refused(state: State, kind: Kind, at_ms: int, **more: Any) -> Why:
    done = tap(state, kind, at_ms, **more)
    assert not done.accepted
    assert done.state == state
    return done.why


def at(state: State, seconds: float) -> tuple[str, int | None, int]:
    """Kind, round and milliseconds left so many seconds after T."""
    seen = clock.view(state, T + round(seconds * 1000))
    return seen.kind, seen.round, seen.remaining_ms


# --- one command at a time -------------------------------------------------------------------------------------------


def test_before_the_start_the_first_part_is_whole() -> None:
    seen = clock.view(clock.waiting(SCHEDULE), T)
    assert (seen.phase, seen.kind, seen.remaining_ms, seen.deadline_ms, seen.ends_ms) == (
        Phase.WAITING,
        "gather",
        60_000,
        None,
        None,
    )


def test_without_a_schedule_nothing_is_shown_and_nothing_starts() -> None:
    empty = clock.waiting(Schedule())
    assert (clock.view(empty, T).kind, clock.view(empty, T).remaining_ms) == ("", 0)
    assert refused(empty, Kind.START, T) is Why.NO_SCHEDULE


def test_parts_follow_each_other_by_themselves() -> None:
    state = begun()
    assert at(state, 0) == ("gather", None, 60_000)
    assert at(state, 59.999) == ("gather", None, 1)
    assert at(state, 60) == ("work", 1, 300_000)
    assert at(state, 360) == ("change", 1, 45_000)
    assert at(state, 405) == ("work", 2, 300_000)
    assert at(state, WHOLE_MS / 1000) == ("over", None, 0)


def test_it_says_when_it_all_ends() -> None:
    state = begun()
    assert clock.view(state, T + 70_000).ends_ms == T + WHOLE_MS
    assert clock.view(state, T + WHOLE_MS + 5000).ends_ms == T + WHOLE_MS
    paused = do(state, Kind.PAUSE, T + 70_000)
    assert clock.view(paused, T + 100_000).ends_ms == T + WHOLE_MS + 30_000


def test_the_start_takes_the_plan_that_came_with_it() -> None:
    state = do(clock.waiting(Schedule(), 1), Kind.START, T, schedule=SCHEDULE, plan=9)
    assert (state.plan, at(state, 61)) == (9, ("work", 1, 299_000))
    assert refused(state, Kind.START, T + 5) is Why.STARTED


def test_pause_and_resume_keep_what_was_left() -> None:
    paused = do(begun(), Kind.PAUSE, T + 100_000)
    assert clock.view(paused, T + 999_000).paused
    assert at(paused, 999) == ("work", 1, 260_000)
    assert clock.view(paused, T + 999_000).deadline_ms is None
    assert refused(paused, Kind.PAUSE, T + 100_001) is Why.NOT_RUNNING
    resumed = do(paused, Kind.RESUME, T + 500_000)
    assert at(resumed, 500) == ("work", 1, 260_000)
    assert refused(resumed, Kind.RESUME, T + 500_001) is Why.RUNNING


def test_seconds_are_added_and_taken_but_never_below_nothing() -> None:
    state = do(begun(), Kind.ADD, T + 100_000, seconds=30)
    assert at(state, 100) == ("work", 1, 290_000)
    assert at(do(state, Kind.ADD, T + 100_000, seconds=-30), 100) == ("work", 1, 260_000)
    assert at(do(state, Kind.ADD, T + 100_000, seconds=-400), 100) == ("change", 1, 45_000)
    paused = do(state, Kind.PAUSE, T + 100_000)
    assert at(do(paused, Kind.ADD, T + 200_000, seconds=-400), 300) == ("work", 1, 0)


def test_seconds_added_behind_the_last_part_make_it_go_on() -> None:
    late = WHOLE_MS + 9000
    assert at(do(begun(), Kind.ADD, T + late, seconds=30), late / 1000) == ("cool-down", None, 30_000)


def test_next_and_back_begin_a_part_whole() -> None:
    state = do(begun(), Kind.NEXT, T + 100_000)
    assert at(state, 100) == ("change", 1, 45_000)
    assert at(do(state, Kind.BACK, T + 101_000), 101) == ("work", 1, 300_000)
    first = do(begun(), Kind.BACK, T + 20_000)
    assert at(first, 20) == ("gather", None, 60_000)
    paused = do(do(begun(), Kind.PAUSE, T), Kind.NEXT, T + 5000)
    assert at(paused, 50) == ("work", 1, 300_000)


def test_next_from_the_last_part_is_over_and_back_returns_to_it() -> None:
    last = WHOLE_MS - 1000
    over = do(begun(), Kind.NEXT, T + last)
    assert at(over, last / 1000) == ("over", None, 0)
    assert refused(over, Kind.NEXT, T + last + 1) is Why.NOTHING_AFTER
    assert refused(over, Kind.PAUSE, T + last + 1) is Why.NOT_RUNNING
    assert at(do(over, Kind.BACK, T + last), last / 1000) == ("cool-down", None, 180_000)


def test_a_ring_changes_no_time() -> None:
    state = begun()
    rung = do(state, Kind.RING, T + 1000)
    assert (rung.rung, rung.rung_ms) == (rung.seq, T + 1000)
    assert at(rung, 30) == at(state, 30)
    assert refused(do(state, Kind.END, T + 1), Kind.RING, T + 2) is Why.ENDED


def test_stop_holds_the_time_until_somebody_resumes() -> None:
    stopped = do(begun(), Kind.STOP, T + 100_000)
    assert clock.view(stopped, T + 200_000).phase is Phase.STOPPED
    assert refused(stopped, Kind.STOP, T + 200_000) is Why.STOPPED
    assert refused(stopped, Kind.NEXT, T + 200_000) is Why.NOT_RUNNING
    assert at(do(stopped, Kind.RESUME, T + 300_000), 300) == ("work", 1, 260_000)


def test_a_stop_before_the_start_does_not_start_it() -> None:
    stopped = do(clock.waiting(SCHEDULE), Kind.STOP, T)
    assert refused(stopped, Kind.START, T) is Why.STARTED
    waits = do(stopped, Kind.RESUME, T + 5)
    assert (waits.phase, at(waits, 60)) == (Phase.WAITING, ("gather", None, 60_000))
    assert at(do(waits, Kind.START, T + 10_000), 10) == ("gather", None, 60_000)


def test_the_reason_may_come_with_the_stop_or_after_it_and_goes_when_it_goes_on() -> None:
    stopped = do(begun(), Kind.STOP, T + 100_000)
    assert stopped.reason is Reason.NONE
    hurt = do(stopped, Kind.STOP, T + 105_000, reason=Reason.HURT)
    assert (hurt.phase, hurt.reason, hurt.left_ms) == (Phase.STOPPED, Reason.HURT, 260_000)
    assert refused(hurt, Kind.STOP, T + 106_000, reason=Reason.HURT) is Why.STOPPED
    assert do(begun(), Kind.STOP, T, reason=Reason.MISSING).reason is Reason.MISSING
    gone_on = do(hurt, Kind.RESUME, T + 300_000)
    assert (gone_on.reason, at(gone_on, 300)) == (Reason.NONE, ("work", 1, 260_000))


def test_thunder_stops_everybody_and_each_new_one_begins_the_wait_again() -> None:
    state = do(begun(), Kind.THUNDER, T + 100_000)
    assert (state.phase, state.reason) == (Phase.STOPPED, Reason.THUNDER)
    assert clock.view(state, T + 110_000).again_ms == T + 100_000 + clock.THUNDER_MS
    late = do(state, Kind.THUNDER, T + 1_840_000)
    assert clock.view(late, T + 1_900_000).again_ms == T + 1_840_000 + clock.THUNDER_MS
    assert at(late, 1_900) == ("work", 1, 260_000)
    gone_on = do(late, Kind.RESUME, T + 4_000_000)
    assert (gone_on.thunder_ms, clock.view(gone_on, T + 4_000_000).again_ms) == (0, None)


def test_the_wait_never_goes_on_by_itself() -> None:
    state = do(begun(), Kind.THUNDER, T)
    assert clock.view(state, T + 24 * 3_600_000).phase is Phase.STOPPED


def test_thunder_during_another_stop_keeps_its_reason() -> None:
    state = do(do(begun(), Kind.STOP, T, reason=Reason.HURT), Kind.THUNDER, T + 1000)
    assert (state.reason, state.thunder_ms) == (Reason.HURT, T + 1000)


def test_thunder_before_the_start_stops_and_does_not_start() -> None:
    state = do(clock.waiting(SCHEDULE), Kind.THUNDER, T)
    assert (state.phase, state.started) == (Phase.STOPPED, False)
    assert do(state, Kind.RESUME, T + 5).phase is Phase.WAITING


@pytest.mark.parametrize("kind", [Kind.ADD, Kind.NEXT, Kind.BACK, Kind.END, Kind.RESUME])
def test_what_needs_a_started_bell_says_so(kind: Kind) -> None:
    assert refused(clock.waiting(SCHEDULE), kind, T) is Why.NOT_STARTED


@pytest.mark.parametrize(
    "kind", [Kind.ADD, Kind.NEXT, Kind.BACK, Kind.END, Kind.RESUME, Kind.STOP, Kind.THUNDER, Kind.REPLAN]
)
def test_after_the_end_nothing_goes_on(kind: Kind) -> None:
    ended = do(begun(), Kind.END, T + 1000)
    assert clock.view(ended, T + 5000).ends_ms is None
    assert refused(ended, kind, T + 2000) is Why.ENDED


# --- undo ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [Kind.NEXT, Kind.BACK, Kind.END])
def test_undo_gives_back_exactly_what_was_left(kind: Kind) -> None:
    state = do(begun(), kind, T + 100_000)
    undone = do(state, Kind.UNDO, T + 104_000)
    assert (at(undone, 104), undone.phase) == (("work", 1, 260_000), Phase.RUNNING)
    assert refused(undone, Kind.UNDO, T + 105_000) is Why.NOTHING_TO_UNDO


def test_seconds_taken_beyond_the_end_of_a_part_can_be_given_back() -> None:
    """Thirty seconds too many end the part; adding them again would lengthen the next one."""
    state = do(begun(), Kind.ADD, T + 40_000, seconds=-30)
    assert at(state, 41) == ("work", 1, 299_000)
    assert at(do(state, Kind.UNDO, T + 45_000), 45) == ("gather", None, 20_000)


def test_undo_works_for_a_while_and_not_over_another_command() -> None:
    state = do(begun(), Kind.NEXT, T)
    rung = do(state, Kind.RING, T + 1000)
    assert at(do(rung, Kind.UNDO, T + clock.UNDO_MS), clock.UNDO_MS / 1000) == ("gather", None, 60_000)
    assert refused(state, Kind.UNDO, T + clock.UNDO_MS + 1) is Why.NOTHING_TO_UNDO
    paused = do(state, Kind.PAUSE, T + 1000)
    assert refused(paused, Kind.UNDO, T + 2000) is Why.NOTHING_TO_UNDO


# --- a new plan ------------------------------------------------------------------------------------------------------

OTHER = Schedule((Segment("gather", 10), Segment("work", 300, 1), Segment("change", 90, 1), Segment("work", 200, 2)))


def test_a_new_plan_changes_only_what_comes() -> None:
    state = do(begun(), Kind.REPLAN, T + 100_000, schedule=OTHER, plan=8, round=2)
    assert (state.plan, at(state, 100)) == (8, ("work", 1, 260_000))
    assert at(state, 360) == ("change", 1, 90_000)
    assert at(state, 450) == ("work", 2, 200_000)
    assert at(state, 650) == ("over", None, 0)


def test_a_walk_that_is_under_way_keeps_its_time() -> None:
    walking = do(begun(), Kind.REPLAN, T + 370_000, schedule=OTHER, plan=8, round=2)
    assert at(walking, 370) == ("change", 1, 35_000)
    assert at(walking, 405) == ("work", 2, 200_000)


def test_a_first_round_not_yet_begun_is_planned_anew() -> None:
    state = do(begun(), Kind.REPLAN, T + 10_000, schedule=OTHER, plan=8, round=1)
    assert at(state, 10) == ("gather", None, 50_000)


def test_a_round_that_has_begun_is_not_planned_anew() -> None:
    assert refused(begun(), Kind.REPLAN, T + 61_000, schedule=OTHER, round=1) is Why.UNDER_WAY
    assert refused(begun(), Kind.REPLAN, T + 61_000, schedule=OTHER, round=3) is Why.NO_SUCH_ROUND
    assert refused(begun(), Kind.REPLAN, T + 61_000, round=2) is Why.NO_SUCH_ROUND


def test_before_the_start_a_new_plan_simply_stands() -> None:
    state = do(clock.waiting(SCHEDULE, 1), Kind.REPLAN, T, schedule=OTHER, plan=2, round=1)
    assert (state.plan, state.phase, at(state, 5)) == (2, Phase.WAITING, ("gather", None, 10_000))


# --- stale and repeated ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [Kind.NEXT, Kind.BACK, Kind.END, Kind.UNDO])
def test_who_had_not_seen_the_last_command_changes_nothing(kind: Kind) -> None:
    state = do(begun(), Kind.NEXT, T + 1000)
    assert refused(state, kind, T + 1001, seen=state.seq - 1) is Why.STALE


def test_next_tapped_as_the_part_runs_out_does_not_skip_the_one_behind_it() -> None:
    state = begun()
    assert refused(state, Kind.NEXT, T + 60_000, index=0) is Why.STALE
    assert at(do(state, Kind.NEXT, T + 59_999, index=0), 60) == ("work", 1, 299_999)


def test_seconds_add_however_old_the_sender_s_page_is() -> None:
    state = do(begun(), Kind.ADD, T, seconds=30, seen=0)
    assert at(do(state, Kind.ADD, T, seconds=30, seen=0), 0) == ("gather", None, 120_000)


def test_a_command_counts_once() -> None:
    command = Command(Kind.ADD, 2, 1, T, seconds=30)
    once = clock.step(begun(), command, T).state
    again = clock.step(once, command, T)
    assert (again.state, again.why) == (once, Why.COUNTED)


def test_a_server_clock_that_steps_back_takes_no_time_back() -> None:
    state = do(begun(), Kind.PAUSE, T + 30_000)
    earlier = clock.step(state, Command(Kind.RESUME, 3, 2, T), T).state
    assert clock.view(earlier, T).remaining_ms == 30_000
    assert clock.view(begun(), T - 5000).remaining_ms == 60_000


# --- whatever is tapped ----------------------------------------------------------------------------------------------

STEPS = st.lists(
    st.tuples(
        st.sampled_from(list(Kind)),
        st.integers(0, 400_000),
        st.integers(-90, 90),
        st.integers(0, 3),
        st.one_of(st.none(), st.integers(0, 6)),
    ),
    max_size=30,
)
UPWARDS = {Kind.ADD, Kind.BACK, Kind.UNDO, Kind.REPLAN, Kind.START}


def log_of(steps: list[tuple[Any, ...]]) -> list[Command]:
    """Commands in the order of the log, some of them stale, begun by a start."""
    now, commands = T, [Command(Kind.START, 1, 0, T)]
    for seq, (kind, wait, seconds, behind, index) in enumerate(steps, start=2):
        now += wait
        more = {"schedule": OTHER, "plan": seq, "round": 2} if kind is Kind.REPLAN else {}
        commands.append(Command(kind, seq, max(0, seq - 1 - behind), now, seconds=seconds, index=index, **more))
    return commands


def place(state: State, now: int) -> int:
    """Milliseconds left of the whole evening, counted downwards: grows as the evening goes on."""
    seen = clock.view(state, now)
    return -(seen.remaining_ms + state.schedule.ms_after(seen.index))


@examples(30)
@given(STEPS, st.lists(st.integers(1, 200_000), min_size=1, max_size=5))
def test_the_time_shown_goes_up_only_when_somebody_says_so(steps: list[tuple[Any, ...]], looks: list[int]) -> None:
    state, log = clock.waiting(SCHEDULE), log_of(steps)
    for command, after in zip(log, [*log[1:], None], strict=True):
        before = place(state, command.at_ms)
        state = clock.step(state, command, command.at_ms).state
        assert place(state, command.at_ms) >= before or command.kind in UPWARDS
        until = after.at_ms if after else command.at_ms + 2_000_000
        instants = sorted({command.at_ms, *(min(until, command.at_ms + look) for look in looks), until})
        places = [place(state, now) for now in instants]
        assert places == sorted(places)
        views = [clock.view(state, now) for now in instants]
        assert all(a.index < b.index or a.remaining_ms >= b.remaining_ms for a, b in pairwise(views))


@examples(30)
@given(STEPS)
def test_the_log_played_again_is_the_state(steps: list[tuple[Any, ...]]) -> None:
    log, state = log_of(steps), clock.waiting(SCHEDULE)
    for count, command in enumerate(log, start=1):
        state = clock.step(state, command, command.at_ms).state
        assert clock.fold(log[:count], clock.waiting(SCHEDULE)) == state
    # Every command sent twice.
    twice = [one for command in log for one in (command, command)]
    assert clock.fold(twice, clock.waiting(SCHEDULE)) == state


@examples(30)
@given(STEPS)
def test_refused_commands_might_as_well_not_be_there(steps: list[tuple[Any, ...]]) -> None:
    state, kept = clock.waiting(SCHEDULE), []
    for command in log_of(steps):
        done = clock.step(state, command, command.at_ms)
        assert done.accepted == (done.why is Why.NONE)
        if done.accepted:
            kept.append(command)
        else:
            assert done.state == state
        state = done.state
    assert clock.fold(kept, clock.waiting(SCHEDULE)) == state


@examples(30)
@given(STEPS, st.integers(0, 3_000_000), st.integers(0, 3_000_000))
def test_pause_and_resume_lose_and_win_nothing(steps: list[tuple[Any, ...]], wait: int, pause: int) -> None:
    state = clock.fold(log_of(steps), clock.waiting(SCHEDULE))
    now = state.since_ms + wait
    paused = tap(state, Kind.PAUSE, now).state
    if paused.phase is Phase.PAUSED:
        resumed = tap(paused, Kind.RESUME, now + pause).state
        assert place(resumed, now + pause) == place(paused, now + pause) == place(state, now)


@examples(30)
@given(STEPS, st.permutations(range(4)))
def test_stale_commands_change_nothing_in_any_order(steps: list[tuple[Any, ...]], order: list[int]) -> None:
    state = clock.fold(log_of(steps), clock.waiting(SCHEDULE))
    kinds = (Kind.NEXT, Kind.BACK, Kind.END, Kind.UNDO)
    seq = max(len(steps) + 1, state.seq)
    stale = [
        Command(kinds[pick], seq + number, state.seq - 1, state.since_ms) for number, pick in enumerate(order, start=1)
    ]
    assert clock.fold(stale, state) == state


@examples(30)
@given(STEPS, st.integers(0, 2_000_000))
def test_what_is_shown_is_never_below_nothing_nor_behind_the_end(steps: list[tuple[Any, ...]], wait: int) -> None:
    state = clock.fold(log_of(steps), clock.waiting(SCHEDULE))
    seen = clock.view(state, state.since_ms + wait)
    assert seen.remaining_ms >= 0
    assert 0 <= seen.index <= len(state.schedule.segments)
    if seen.deadline_ms is not None and seen.remaining_ms:
        assert seen.deadline_ms - seen.remaining_ms == state.since_ms + wait


# --- the shared vectors ----------------------------------------------------------------------------------------------


def state_of(row: dict[str, Any]) -> State:
    """A state as the vectors and the phones' messages write it."""
    parts = tuple(Segment(kind, seconds, number) for kind, seconds, number in row["segments"])
    times = {name: row[name] for name in ("index", "since_ms", "deadline_ms", "left_ms")}
    why = {"reason": Reason(row.get("reason", "")), "thunder_ms": row.get("thunder_ms", 0)}
    return State(schedule=Schedule(parts), phase=Phase(row["phase"]), **times, **why)


@pytest.mark.parametrize("case", VECTORS["views"], ids=lambda case: case["name"])
def test_vector_view(case: dict[str, Any]) -> None:
    state = state_of({**VECTORS["states"][case["state"]], "segments": VECTORS["segments"]})
    seen = clock.view(state, case["now_ms"])
    found = {name: getattr(seen, name) for name in case["view"]}
    assert found == case["view"]


@pytest.mark.parametrize("case", VECTORS["offsets"], ids=lambda case: case["name"])
def test_vector_offset(case: dict[str, Any]) -> None:
    found = clock.offset([clock.Sample(*times) for times in case["samples"]])
    if case["offset"] is None:
        assert found is None
        return
    assert found is not None
    assert [found.offset_ms, found.error_ms] == pytest.approx(case["offset"], abs=1e-6)


@pytest.mark.parametrize("case", VECTORS["enough"], ids=str)
def test_vector_enough(case: list[Any]) -> None:
    samples, waited_ms, answer = case
    assert clock.enough(samples, waited_ms) is answer


@pytest.mark.parametrize(("remaining_ms", "text"), VECTORS["digits"])
def test_vector_digits(remaining_ms: int, text: str) -> None:
    assert clock.digits(remaining_ms) == text


def test_the_least_delay_bounds_the_error_of_a_lopsided_way() -> None:
    for up, down in pairwise((0, 30, 50, 400, 3, 0)):
        sample = clock.Sample(1000, 6000 + up, 6004 + up, 1004 + up + down)
        found = clock.offset([sample])
        assert found is not None
        assert abs(found.offset_ms - 5000) <= found.error_ms == (up + down) / 2


def test_samples_older_than_the_last_eight_are_forgotten() -> None:
    quick = clock.Sample(0, 100, 100, 0)
    slow = clock.Sample(0, 300, 300, 200)
    assert clock.offset([quick, *[slow] * 7]) == clock.Offset(100, 0)
    assert clock.offset([quick, *[slow] * 8]) == clock.Offset(200, 100)


def test_a_state_can_be_changed_only_by_making_another() -> None:
    assert replace(begun(), plan=9) != begun()
    with pytest.raises(AttributeError):
        begun().plan = 9  # type: ignore[misc]
