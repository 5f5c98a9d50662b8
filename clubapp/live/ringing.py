"""When something rings, and for whom: a function of stored instants and the clock. Nothing on the server waits for it.

The script static/js/live/levels.js is the twin; both run tests/vectors/alarms.json. Instants are milliseconds since
1970 on the server's clock.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum, StrEnum

PATIENCE_MS = 20_000  # unheard for so long it rings on every phone
AWAY_MS = 300_000  # a child may be away for so long before it rings, and again after somebody heard


class What(StrEnum):
    """What may ring. SHORT: a count with too few children, and nobody said yet who."""

    MISSING = "missing"
    AWAY = "away"
    SHORT = "short"
    HELP = "help"
    HURT = "hurt"


class Level(IntEnum):
    QUIET = 0
    LEADER = 1  # rings on the leader's phone
    ALL = 2  # rings on every adult's phone
    LOUDER = 3  # the same, louder: a child was missing when the next round came


DELAY_MS = {What.MISSING: 0, What.AWAY: AWAY_MS, What.SHORT: 30_000, What.HELP: 0, What.HURT: 0}


@dataclass(frozen=True)
class Ringing:
    """Stored instants. heard_ms, heard_round: when an adult last said "heard", None if nobody did."""

    what: What
    at_ms: int
    received_ms: int
    round: int | None = None
    heard_ms: int | None = None
    heard_round: int | None = None


def level(row: Ringing, now_ms: int, round_now: int | None = None) -> Level:
    """How loud it is at an instant. round_now: the round that is on, or to which the children now walk."""
    if _next_round(row, round_now):
        return Level.LOUDER
    loud_ms = row.at_ms + DELAY_MS[row.what]
    if row.heard_ms is not None and row.heard_ms >= loud_ms:
        again_ms = row.heard_ms + AWAY_MS
        return Level.LEADER if row.what is What.AWAY and now_ms >= again_ms else Level.QUIET
    if now_ms < loud_ms:
        return Level.QUIET
    return Level.ALL if now_ms >= max(loud_ms, row.received_ms) + PATIENCE_MS else Level.LEADER


def _next_round(row: Ringing, round_now: int | None) -> bool:
    """Whether a child still missing was seen to in this round."""
    if row.what is not What.MISSING or row.round is None or round_now is None:
        return False
    return round_now > max(row.round, row.heard_round or 0)
