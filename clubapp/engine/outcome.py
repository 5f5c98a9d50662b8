"""What every topic of the engine gives back."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Generic, TypeVar

A = TypeVar("A")


class Status(StrEnum):
    BEST = "BEST"  # proven: no better answer exists
    GOOD = "GOOD"  # within the stated bound of the best
    SIMPLE = "SIMPLE"  # the plain method's answer
    IMPOSSIBLE = "IMPOSSIBLE"  # no answer; the reasons say why


@dataclass(frozen=True)
class Reason:
    """A rule in a coach's words, and the one change that takes it away.

    code: stable name of the kind of rule ("together", "apart", "not_alone", "age_gap", "lock", "size", "kit", "rounds",
        …).
    about: ids or labels the rule speaks of, so that a page can offer to drop just this rule.
    way_out: the one-tap change, in words ("let Mia and Tom be in one group").
    """

    code: str
    text: str
    about: tuple[str, ...] = ()
    way_out: str = ""


@dataclass(frozen=True)
class Outcome(Generic[A]):
    """answer is None exactly when status is IMPOSSIBLE.

    score and bound are in the topic's own unit, smaller is better; bound ≤ score.
    """

    answer: A | None
    status: Status
    score: float
    bound: float
    seconds: float
    reasons: tuple[Reason, ...] = ()
