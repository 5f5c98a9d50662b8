"""What phones and server say to each other over a socket: JSON objects with a `type`.

A phone says `ping`, `ask` and `command`; the server `bell` (state and schedule, whole), `hint` ("something changed,
version n"), `pong`, `answer` and `error`. Instants are milliseconds since 1970 on the server's clock.
"""

from __future__ import annotations

import json
import time
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.engine import clock

FORMAT = 1
LONGEST = 2000  # characters a phone may send at once
LARGEST = 2**53  # no clock shows more, and a script counts no further
MOST_SECONDS = 600  # added or taken by one tap
GIVEN = frozenset(clock.Kind)
# Thunder comes as a command of its own.
REASONS = frozenset(clock.Reason) - {clock.Reason.THUNDER}


class BadMessageError(Exception):
    """The message cannot be read; the text says what is wrong with it."""


@dataclass(frozen=True)
class Ping:
    """t0: the phone's own clock when it asked."""

    t0: float


@dataclass(frozen=True)
class Ask:
    """The phone missed something and wants the whole state."""


@dataclass(frozen=True)
class Tap:
    """A command as a phone sends it; op_id is made there, so that sent twice it counts once.

    at_ms: when it was tapped by the server's clock, None where the phone does not know it. reason: of a stop.
    """

    op_id: UUID
    kind: str
    seen: int
    seconds: int = 0
    index: int | None = None
    round: int | None = None
    at_ms: float | None = None
    reason: str = ""


Heard = Ping | Ask | Tap


def now_ms() -> float:
    """The server's clock."""
    return time.time() * 1000


# --- from a phone ----------------------------------------------------------------------------------------------------


def read(text: str | None) -> Heard:
    """Take a phone's message apart.

    Raises:
        BadMessageError: it is no message of ours.
    """
    if text is None:
        raise BadMessageError(_("Messages are text, not bytes."))
    if len(text) > LONGEST:
        raise BadMessageError(_("The message is longer than %(n)d characters.") % {"n": LONGEST})
    row = _object(text)
    kind = row.get("type")
    if kind == "ping":
        return Ping(_number(row, "t0"))
    if kind == "ask":
        return Ask()
    if kind == "command":
        return _tap(row)
    raise BadMessageError(_("“type” is to be ping, ask or command."))


def _object(text: str) -> dict[str, Any]:
    try:
        row = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise BadMessageError(_("The message is not JSON.")) from error
    if not isinstance(row, dict):
        raise BadMessageError(_("The message is not a JSON object."))
    return row


def _number(row: Mapping[str, Any], name: str) -> float:
    value = row.get(name)
    if isinstance(value, bool) or not isinstance(value, int | float) or not -LARGEST < value < LARGEST:
        raise BadMessageError(_("“%(name)s” is to be a number.") % {"name": name})
    return value


def _whole(row: Mapping[str, Any], name: str, least: int, most: int) -> int:
    value = row.get(name)
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
        words = {"name": name, "least": least, "most": most}
        raise BadMessageError(_("“%(name)s” is to be a whole number from %(least)d to %(most)d.") % words)
    return value


def _whole_or_none(row: Mapping[str, Any], name: str) -> int | None:
    return None if row.get(name) is None else _whole(row, name, 0, 10_000)


def _tap(row: Mapping[str, Any]) -> Tap:
    kind = row.get("kind")
    if not isinstance(kind, str) or kind not in GIVEN:
        raise BadMessageError(_("“kind” is no command of the bell."))
    seconds = _whole(row, "seconds", -MOST_SECONDS, MOST_SECONDS) if kind == clock.Kind.ADD else 0
    return Tap(
        op_id=_id(row),
        kind=kind,
        seen=_whole(row, "seen", 0, 2**31 - 1),
        seconds=seconds,
        index=_whole_or_none(row, "index"),
        round=_whole_or_none(row, "round"),
        at_ms=None if row.get("at_ms") is None else _number(row, "at_ms"),
        reason=_reason(row.get("reason", "")),
    )


def _reason(given: Any) -> str:
    if not isinstance(given, str) or given not in REASONS:
        raise BadMessageError(_("“reason” is none of ours."))
    return given


def _id(row: Mapping[str, Any]) -> UUID:
    try:
        return UUID(row["op_id"])
    except (KeyError, ValueError, TypeError, AttributeError) as error:
        raise BadMessageError(_("“op_id” is to be a UUID.")) from error


# --- from the server -------------------------------------------------------------------------------------------------


def plain_state(state: clock.State) -> dict[str, Any]:
    """All a phone needs to go on by itself until the end, without a network. Holds nobody's name."""
    return {
        "seq": state.seq,
        "plan": state.plan,
        "phase": str(state.phase),
        "index": state.index,
        "since_ms": state.since_ms,
        "deadline_ms": state.deadline_ms,
        "left_ms": state.left_ms,
        "rung": state.rung,
        "rung_ms": state.rung_ms,
        "reason": str(state.reason),
        "thunder_ms": state.thunder_ms,
        "undo_ms": state.before.until_ms if state.before else None,
        "segments": [[part.kind, part.seconds, part.round] for part in state.schedule.segments],
    }


def bell(state: dict[str, Any], version: int, *, what: str = "") -> dict[str, Any]:
    """what: "bell" when this is the change that made the version; empty when a phone asked how things stand."""
    return {"type": "bell", "v": FORMAT, "version": version, "now_ms": now_ms(), "what": what, "state": state}


def hint(what: str, version: int) -> dict[str, Any]:
    return {"type": "hint", "what": what, "version": version}


def pong(ping: Ping, t1: float, version: int) -> dict[str, Any]:
    """RFC 5905 on the wire: t0 comes back, t1 is when it was read here, t2 when this was written."""
    return {"type": "pong", "t0": ping.t0, "version": version, "t1": t1, "t2": now_ms()}


def answer(op_id: UUID, *, accepted: bool, words: str, seq: int) -> dict[str, Any]:
    return {"type": "answer", "op_id": str(op_id), "accepted": accepted, "words": words, "seq": seq}


def error(text: str) -> dict[str, Any]:
    return {"type": "error", "text": text}
