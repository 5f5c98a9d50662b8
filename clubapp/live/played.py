"""The bell as its log leaves it. A log only grows, so it is played on from where this process played it last: an
evening's hundred commands are not read anew for every tap and every phone that comes.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from uuid import UUID

from clubapp.engine import clock
from clubapp.live import bridge, queries
from clubapp.live.models import Command, Room
from clubapp.rotation.queries import PlanView, current_plan

MOST = 64  # sessions kept in mind


@dataclass(frozen=True, slots=True)
class Before:
    """What a new command meets: the bell, the last line of its log, and whatever became of the same tap before."""

    state: clock.State
    last: Command | None
    earlier: Command | None


@dataclass(frozen=True, slots=True)
class _Known:
    """The bell up to a line. Only what the database has kept: a line that is not there as it was counts for nothing."""

    op_id: UUID
    seq: int
    at_ms: int
    state: clock.State

    def ends_with(self, row: Command) -> bool:
        return (row.op_id, row.seq, row.at_ms) == (self.op_id, self.seq, self.at_ms)


_known: OrderedDict[UUID, _Known] = OrderedDict()


def state_of(session_id: UUID, plan: PlanView | None = None) -> clock.State:
    """How the bell stands; before the start with the current plan's schedule."""
    rows, known = _read(session_id, lambda since: queries.log_of(session_id, since))
    return _play(session_id, rows, known, plan)


def before(room: Room, op_id: UUID) -> Before:
    """In one question; whoever holds the room's lock reads what nobody changes."""
    rows, known = _read(room.session_id, lambda since: queries.log_and(room, op_id, since))
    log = [row for row in rows if row.room_id == room.pk]
    earlier = next((row for row in rows if row.op_id == op_id), None)
    return Before(_play(room.session_id, log, known), log[-1] if log else None, earlier)


def plan_now(session_id: UUID) -> PlanView | None:
    """The plan the bell goes by, without the bell."""
    newest = current_plan(session_id)
    return bridge.followed_plan(session_id, state_of(session_id, newest), newest)


def _read(session_id: UUID, read: Callable[[int], Iterable[Command]]) -> tuple[list[Command], _Known | None]:
    """What was added since, with the last line known, which proves that it is the same log; else all of it."""
    known = _known.get(session_id)
    if known is not None:
        rows = list(read(known.seq))
        if any(known.ends_with(row) for row in rows):
            return rows, known
    return list(read(0)), None


def _play(session_id: UUID, log: list[Command], known: _Known | None, plan: PlanView | None = None) -> clock.State:
    new = [bridge.command_of(row) for row in log if known is None or row.seq > known.seq]
    state = clock.fold(new, known.state if known else _waiting(session_id, plan, new))
    if new and state.started:  # until then it also hangs on the newest plan
        _known[session_id] = _Known(log[-1].op_id, log[-1].seq, log[-1].at_ms, state)
        while len(_known) > MOST:
            _known.popitem(last=False)
    return state


def _waiting(session_id: UUID, plan: PlanView | None, log: list[clock.Command]) -> clock.State:
    """Before the first command, by the plan as it is; whatever starts the bell brings a schedule of its own."""
    if plan is None and not any(command.kind is clock.Kind.START for command in log):
        plan = current_plan(session_id)
    return clock.waiting(bridge.schedule_of(plan), plan.version) if plan else clock.State()
