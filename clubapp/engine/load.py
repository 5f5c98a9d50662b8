"""What an evening asks of one child, held against published ranges of landings.

Only what is near or over a range is ever told: nothing here says how much is left. Children move elsewhere too, and no
phone counts that. Of sprints, metres and hard minutes no range was found; they stand beside the others as figures.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

# Foot contacts of one session of jumps. Beginners 80 to 100: NSCA, Essentials of Strength Training and Conditioning, as
# quoted in public texts; the chapter itself was not read. Other public texts say 60 to 80, 60 to 100, 50 to 80.
BEGINNERS = (80, 100)
LOWEST = (50, 80)
SOURCE = "NSCA, Essentials of Strength Training and Conditioning, as quoted by others"
# Under-tens take the lowest published range, halved: our own caution, no published source.
UNDER_TENS = (LOWEST[0] // 2, LOWEST[1] // 2)
TEN = 10
# 48 to 72 hours between two sessions of jumps, from the same texts: what lies closer counts as one session, and in
# seven days there are two to three such sessions (our arithmetic).
APART = timedelta(days=2)
WEEK = timedelta(days=7)
SESSIONS_A_WEEK = (2, 3)


class Span(StrEnum):
    """Over what contacts are added up."""

    SESSION = "session"
    CLOSE = "close"  # this session and those less than two days before it
    WEEK = "week"


@dataclass(frozen=True)
class Load:
    """Of one child. sprints: with all it has; contacts: of a foot in landing; hard_s: seconds at work at hard cards."""

    sprints: int = 0
    metres: int = 0
    contacts: int = 0
    hard_s: int = 0

    def __add__(self, other: Load) -> Load:
        return Load(
            self.sprints + other.sprints,
            self.metres + other.metres,
            self.contacts + other.contacts,
            self.hard_s + other.hard_s,
        )

    def times(self, turns: int) -> Load:
        return Load(self.sprints * turns, self.metres * turns, self.contacts * turns, self.hard_s * turns)


@dataclass(frozen=True)
class Note:
    """Contacts that come near a range (from its lower end) or over it. load: the whole of what was added up."""

    span: Span
    over: bool
    load: Load
    low: int
    high: int
    halved: bool


def contacts_range(age: int | None) -> tuple[int, int]:
    """Of one session, by completed years; a child whose age nobody wrote down is taken for a young one.

    Raises ValueError for a negative age.
    """
    if age is not None and age < 0:
        raise ValueError(f"an age cannot be negative: {age}")
    return UNDER_TENS if age is None or age < TEN else BEGINNERS


def total(loads: Iterable[Load]) -> Load:
    return sum(loads, Load())


def notes(age: int | None, planned: Load, on: date, before: Iterable[tuple[date, Load]] = ()) -> tuple[Note, ...]:
    """What is near or over a range with a planned session; nothing where it is neither, and nothing it adds nothing to.

    before: earlier sessions of this child by date, those of seven days count; another one of the same day counts too.
    """
    if not planned.contacts:
        return ()
    halved = contacts_range(age) == UNDER_TENS
    asked = ((span, low, high, total([planned, *done])) for span, low, high, done in _spans(age, on, before))
    return tuple(
        Note(span, load.contacts > high, load, low, high, halved)
        for span, low, high, load in asked
        if load.contacts >= low
    )


def most_contacts(age: int | None, on: date, before: Iterable[tuple[date, Load]] = ()) -> int:
    """With so many landings more nothing is over a range: a bound for suggestions, never to be shown as room left."""
    return max(0, min(high - total(done).contacts for _span, _low, high, done in _spans(age, on, before)))


def _spans(
    age: int | None, on: date, before: Iterable[tuple[date, Load]]
) -> Iterator[tuple[Span, int, int, list[Load]]]:
    """Each span with its range and what was done in it; those without landings before add nothing to the session."""
    low, high = contacts_range(age)
    few, many = SESSIONS_A_WEEK
    week = [(day, load) for day, load in before if on - WEEK < day <= on and load.contacts]
    close = [load for day, load in week if on - day < APART]
    yield Span.SESSION, low, high, []
    if close:
        yield Span.CLOSE, low, high, close
    if week:
        yield Span.WEEK, few * low, many * high, [load for _day, load in week]
