"""The room, its command log, and who looks after which station."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from clubapp.core.tell import tell
from clubapp.engine import clock
from clubapp.live import bridge, messages, played
from clubapp.live.access import Watcher, may_give
from clubapp.live.messages import Tap
from clubapp.live.models import Command, Room, StationHold
from clubapp.planning.models import Session, Station
from clubapp.rotation.queries import current_plan

LATE_MS = 2500  # the answer still gets back before the phone says "not heard", at 3 s
URGENT = frozenset({clock.Kind.STOP, clock.Kind.THUNDER})


class RefusedError(Exception):
    """It cannot be done; the message says why and what to do."""


@dataclass(frozen=True)
class Order:
    """A command, who gives it and from which phone."""

    by: Watcher
    tap: Tap
    device: str = ""


@dataclass(frozen=True)
class Answer:
    """What became of a command; the same for every time it is sent. why: a clock.Why. seq: the bell's after it."""

    accepted: bool
    why: str
    seq: int


@transaction.atomic
def open_room(*, session: Session) -> Room:
    """The live side of a session; opened twice it is the same."""
    room, made = Room.objects.get_or_create(session=session)
    if made:
        tell(session.pk, "room")
    return room


@transaction.atomic
def give_command(*, order: Order) -> Answer:
    """Add a command to the log, once, and send every phone the bell as it then stands."""
    session, tap = order.by.session, order.tap
    if not may_give(order.by, tap.kind):
        raise RefusedError(_("Only the leader gives this command."))
    # Whoever comes second waits here, so that numbers and times in the log never run backwards.
    locked = Room.objects.select_for_update().filter(session=session)
    room = locked.first() or locked.get(pk=open_room(session=session).pk)
    found = played.before(room, tap.op_id)
    if found.earlier is not None:
        return _given_before(room, found.earlier)
    _refuse_late(tap)
    command = _command(room, tap, found.last)
    done = clock.step(found.state, bridge.command_of(command), command.at_ms)
    answer = Answer(done.accepted, str(done.why), done.state.seq)
    _keep(command, order, answer)
    if done.accepted:
        _note_end(room, done.state)
        tell(session.pk, "bell", bell=messages.plain_state(done.state))
    return answer


def _refuse_late(tap: Tap) -> None:
    """A tap whose phone says "not heard" must not move the bell: what was sent without a network lies in the line until
    there is one again. Stopping is never too late.
    """
    if tap.at_ms is not None and tap.kind not in URGENT and messages.now_ms() - tap.at_ms > LATE_MS:
        raise RefusedError(_("That came too late to count. Look at the bell, and tap again if you still want it."))


def _given_before(room: Room, earlier: Command) -> Answer:
    if earlier.room_id != room.pk:
        raise RefusedError(_("This tap was used for another session already. Tap again."))
    return Answer(**earlier.answer)


def _command(room: Room, tap: Tap, last: Command | None) -> Command:
    return Command(
        room=room,
        seq=last.seq + 1 if last else 1,
        seen=tap.seen,
        kind=tap.kind,
        args=_args(room, tap),
        # Our own clock may be set back in the middle of a session.
        at_ms=max(int(messages.now_ms()), last.at_ms if last else 0),
    )


def _args(room: Room, tap: Tap) -> dict[str, Any]:
    """Only what the kind needs."""
    if tap.kind == clock.Kind.ADD:
        return {"seconds": tap.seconds}
    if tap.kind in (clock.Kind.NEXT, clock.Kind.BACK, clock.Kind.END) and tap.index is not None:
        return {"index": tap.index}
    if tap.kind == clock.Kind.STOP:
        return {"reason": tap.reason}
    if tap.kind not in (clock.Kind.START, clock.Kind.REPLAN):
        return {}
    plan = current_plan(room.session_id)
    if plan is None:
        raise RefusedError(_("There are no groups yet: make them first, then start the bell."))
    return {**bridge.args_of_plan(plan), "round": tap.round}


def _keep(command: Command, order: Order, answer: Answer) -> None:
    """Also what changed nothing: sent again it is answered alike."""
    command.op_id, command.device, command.by = order.tap.op_id, order.device[:64], order.by.user
    command.tapped_at = timezone.now()  # a command is never kept for later: heard is tapped
    command.base_version = order.tap.seen
    command.answer = {"accepted": answer.accepted, "why": answer.why, "seq": answer.seq}
    command.save()


def _note_end(room: Room, state: clock.State) -> None:
    ended = state.phase is clock.Phase.ENDED
    if ended != (room.ended_at is not None):
        room.ended_at = timezone.now() if ended else None
        room.save(update_fields=["ended_at"])


@transaction.atomic
def hold_station(*, by: Watcher, station: Station) -> StationHold:
    """Say that one looks after a station; the last one said counts."""
    room = open_room(session=by.session)
    hold = StationHold.objects.create(room=room, station=station, user=by.user, visitor=by.visitor)
    tell(by.session.pk, "holds")
    return hold
