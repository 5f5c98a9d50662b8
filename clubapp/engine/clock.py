"""The bell, sans-I/O: a log of commands folds to a state, and a state says at any instant what every phone shows.

Nothing ticks. Instants are milliseconds since 1970 on the server's clock. The script static/js/live/clock.js is the
twin of what a phone needs (`view`, `shown_s`, `digits`, `offset`, `enough`); both run tests/vectors/clock.json.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from clubapp.engine.clock_state import (
    Command,
    Kind,
    Offset,
    Phase,
    Reason,
    Sample,
    Saved,
    Schedule,
    Segment,
    State,
    Why,
    enough,
    offset,
)

__all__ = [
    "Command",
    "Kind",
    "Offset",
    "Phase",
    "Reason",
    "Sample",
    "Saved",
    "Schedule",
    "Segment",
    "State",
    "Step",
    "View",
    "Why",
    "digits",
    "enough",
    "fold",
    "offset",
    "shown_s",
    "step",
    "view",
    "waiting",
]

UNDO_MS = 10_000  # so long "next", "back" and added seconds can be taken back
UNDO_END_MS = 300_000
# After thunder play waits at least 30 minutes, and each new thunder begins them again: NCAA Sports Medicine Handbook,
# as quoted by the AOSSM (sportsmed.org, p. 52). The bell names the instant and never says more; the leader decides.
THUNDER_MS = 30 * 60_000
LONGEST_SHOWN_S = 99 * 60 + 59


@dataclass(frozen=True)
class Step:
    """What a command led to; `why` is empty when it was accepted."""

    state: State
    accepted: bool
    why: Why


@dataclass(frozen=True)
class View:
    """What to show at an instant. kind: of the part, "over" behind the last one, "" where there is no schedule.

    deadline_ms: None unless it runs. ends_ms: when it all ends if nothing changes; None before the start and after the
    end. again_ms: stopped after thunder, play may be considered again from here; None without thunder.
    """

    phase: Phase
    index: int
    kind: str
    round: int | None
    remaining_ms: int
    deadline_ms: int | None
    ends_ms: int | None
    again_ms: int | None

    @property
    def paused(self) -> bool:
        return self.phase is Phase.PAUSED


def waiting(schedule: Schedule, plan: int = 0) -> State:
    """Before the start: the first part is whole."""
    left = schedule.segments[0].ms if schedule.segments else 0
    return State(schedule=schedule, plan=plan, left_ms=left)


def view(state: State, now_ms: int) -> View:
    """What the phones show at an instant; an instant before the last command counts as that command's."""
    now = max(now_ms, state.since_ms)
    at = state.settled(now)
    segments = at.schedule.segments
    part = segments[at.index] if at.index < len(segments) else Segment("over" if segments else "", 0)
    left = at.left_at(now)
    ended = at.phase is Phase.ENDED or not at.started
    return View(
        phase=at.phase,
        index=at.index,
        kind=part.kind,
        round=part.round,
        remaining_ms=left,
        deadline_ms=at.deadline_ms if at.phase is Phase.RUNNING else None,
        ends_ms=None if ended else _end(at, now, left),
        again_ms=at.thunder_ms + THUNDER_MS if at.thunder_ms else None,
    )


def _end(at: State, now: int, left: int) -> int:
    """A clock that ran out has ended when it ran out, not now."""
    start = at.deadline_ms - left if at.phase is Phase.RUNNING else now
    return start + left + at.schedule.ms_after(at.index)


def fold(commands: Iterable[Command], start: State | None = None) -> State:
    """The state a log leads to. The same log always leads to the same state."""
    state = start or State()
    for command in commands:
        state = step(state, command, command.at_ms).state
    return state


def step(state: State, command: Command, now_ms: int) -> Step:
    """Apply one command at an instant of the server's clock, which never counts as earlier than the last command."""
    if command.seq <= state.seq:
        return Step(state, False, Why.COUNTED)
    now = max(now_ms, state.since_ms)
    at = state.settled(now)
    if _is_stale(at, command):
        return Step(state, False, Why.STALE)
    done = _DO[command.kind](at, command, now)
    if isinstance(done, Why):
        return Step(state, False, done)
    return Step(replace(done, seq=command.seq, before=_saved(at, command, now)), True, Why.NONE)


_CAREFUL = frozenset({Kind.NEXT, Kind.BACK, Kind.END, Kind.UNDO})
_UNDOABLE = {Kind.NEXT: UNDO_MS, Kind.BACK: UNDO_MS, Kind.ADD: UNDO_MS, Kind.END: UNDO_END_MS}


def _is_stale(at: State, command: Command) -> bool:
    """Two adults who tap "next" at once want one step, and so does one who taps as the part runs out."""
    unseen = command.seen < at.seq or command.index not in (None, at.index)
    return command.kind in _CAREFUL and unseen


def _saved(at: State, command: Command, now: int) -> Saved | None:
    if command.kind is Kind.RING:
        return at.before
    if command.kind not in _UNDOABLE:
        return None
    return Saved(at.phase, at.index, at.left_at(now), now + _UNDOABLE[command.kind])


def _start(at: State, command: Command, now: int) -> State | Why:
    if at.started or at.phase is not Phase.WAITING:
        return Why.STARTED
    schedule = command.schedule or at.schedule
    if not schedule.segments:
        return Why.NO_SCHEDULE
    ready = replace(at, schedule=schedule, plan=command.plan or at.plan, phase=Phase.RUNNING)
    return ready.placed(0, schedule.segments[0].ms, now)


def _pause(at: State, command: Command, now: int) -> State | Why:
    if at.phase is not Phase.RUNNING or at.is_over:
        return Why.NOT_RUNNING
    return replace(at.placed(at.index, at.left_at(now), now), phase=Phase.PAUSED)


def _resume(at: State, command: Command, now: int) -> State | Why:
    """A bell stopped before its start waits again."""
    if at.phase not in (Phase.PAUSED, Phase.STOPPED):
        return Why.RUNNING if at.phase is Phase.RUNNING else _standing(at)
    at = replace(at, reason=Reason.NONE, thunder_ms=0)
    if not at.started:
        return replace(at, phase=Phase.WAITING)
    return replace(at.placed(at.index, at.left_ms, now), phase=Phase.RUNNING)


def _add(at: State, command: Command, now: int) -> State | Why:
    """Also behind the last part, which then goes on."""
    if not at.started or at.phase is Phase.ENDED:
        return _standing(at)
    index = min(at.index, len(at.schedule.segments) - 1)
    return at.placed(index, max(0, at.left_at(now) + command.seconds * 1000), now)


def _next(at: State, command: Command, now: int) -> State | Why:
    if at.phase not in (Phase.RUNNING, Phase.PAUSED):
        return _standing(at)
    return Why.NOTHING_AFTER if at.is_over else _moved(at, at.index + 1, now)


def _back(at: State, command: Command, now: int) -> State | Why:
    """The part before begins again; the first part begins again itself."""
    if at.phase not in (Phase.RUNNING, Phase.PAUSED):
        return _standing(at)
    return _moved(at, max(0, at.index - 1), now)


def _moved(at: State, index: int, now: int) -> State:
    segments = at.schedule.segments
    return at.placed(index, segments[index].ms if index < len(segments) else 0, now)


def _ring(at: State, command: Command, now: int) -> State | Why:
    return Why.ENDED if at.phase is Phase.ENDED else replace(at, rung=command.seq, rung_ms=now)


def _stop(at: State, command: Command, now: int) -> State | Why:
    """Said again it may bring the reason."""
    if at.phase is Phase.ENDED:
        return Why.ENDED
    if at.phase is Phase.STOPPED:
        return Why.STOPPED if command.reason in (Reason.NONE, at.reason) else replace(at, reason=command.reason)
    stopped = replace(at, phase=Phase.STOPPED, left_ms=at.left_at(now), reason=command.reason)
    return replace(stopped, since_ms=now) if at.started else stopped


def _thunder(at: State, command: Command, now: int) -> State | Why:
    """Thunder was heard: everybody stops, or stays stopped, and the wait begins anew."""
    if at.phase is Phase.STOPPED:
        return replace(at, reason=at.reason or Reason.THUNDER, thunder_ms=now)
    stopped = _stop(at, replace(command, reason=Reason.THUNDER), now)
    return stopped if isinstance(stopped, Why) else replace(stopped, thunder_ms=now)


def _replan(at: State, command: Command, now: int) -> State | Why:
    """What has begun stays. From a round on, with the walk and the water before it, all is the new schedule's;
    the walk alone stays if it is under way."""
    new = command.schedule or Schedule()
    if at.phase is Phase.ENDED:
        return Why.ENDED
    if not at.started:
        return replace(waiting(new, command.plan), phase=at.phase)
    old_at, new_at = at.schedule.work(command.round), new.work(command.round)
    if old_at is None or new_at is None:
        return Why.NO_SUCH_ROUND
    if at.index >= old_at:
        return Why.UNDER_WAY
    if at.index < (joint := at.schedule.joint(old_at)):
        old_at, new_at = joint, new.joint(new_at)
    segments = at.schedule.segments[:old_at] + new.segments[new_at:]
    return replace(at, schedule=Schedule(segments), plan=command.plan)


def _end_it(at: State, command: Command, now: int) -> State | Why:
    if not at.started or at.phase is Phase.ENDED:
        return _standing(at)
    return replace(at.placed(at.index, at.left_at(now), now), phase=Phase.ENDED)


def _undo(at: State, command: Command, now: int) -> State | Why:
    """What was left when the command came is left again."""
    if at.before is None or now > at.before.until_ms:
        return Why.NOTHING_TO_UNDO
    return replace(at.placed(at.before.index, at.before.left_ms, now), phase=at.before.phase)


def _standing(at: State) -> Why:
    """What stands in the way of a command that needs a running bell."""
    if at.phase is Phase.ENDED:
        return Why.ENDED
    return Why.NOT_RUNNING if at.started else Why.NOT_STARTED


_DO: Mapping[Kind, Callable[[State, Command, int], State | Why]] = {
    Kind.START: _start,
    Kind.PAUSE: _pause,
    Kind.RESUME: _resume,
    Kind.ADD: _add,
    Kind.NEXT: _next,
    Kind.BACK: _back,
    Kind.RING: _ring,
    Kind.STOP: _stop,
    Kind.THUNDER: _thunder,
    Kind.REPLAN: _replan,
    Kind.END: _end_it,
    Kind.UNDO: _undo,
}


def shown_s(remaining_ms: int) -> int:
    """Whole seconds as the digits show them: 0 only when nothing is left."""
    return min(LONGEST_SHOWN_S, -(-remaining_ms // 1000))


def digits(remaining_ms: int) -> str:
    """M:SS or MM:SS."""
    seconds = shown_s(remaining_ms)
    return f"{seconds // 60}:{seconds % 60:02}"
