"""After a round: places, ties, and who goes through by place and by time.

World Athletics Technical Rules, TR20.8: the first of each heat, then the quickest of the others; times of one timing
system only. The next round ranks the heat winners first, by time, then the seconds, and so on, then those through on
time.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby


class State(StrEnum):
    FINISHED = "finished"
    NOT_STARTED = "did not start"
    NOT_FINISHED = "did not finish"
    DISQUALIFIED = "disqualified"


@dataclass(frozen=True)
class Finish:
    """ms: None where there is no time, as where only the order was seen. order: of crossing the line, from 1, where
    somebody saw it; it comes before the times of a heat.
    """

    id: str
    ms: int | None = None
    state: State = State.FINISHED
    order: int | None = None

    def __post_init__(self) -> None:
        if self.state is State.FINISHED and self.ms is None and self.order is None:
            raise ValueError(f"{self.id} finished without a time and without a place")

    @property
    def key(self) -> tuple[int, float]:
        """What a heat is sorted by: the order that was seen, else the time."""
        return (0, self.order) if self.order is not None else (1, self.ms if self.ms is not None else 0)


class Note(StrEnum):
    """What to tell, by the words it is told in."""

    LEVEL_PLACE = "Equals for the last place go through together, which costs places on time."
    CLOCKS = "Heats were timed in different ways, so that nobody goes through on time."
    LOTS = "Equal times for the last place on time: lots were drawn."


@dataclass(frozen=True)
class Rule:
    """places: of each heat go through. times: so many of the others. lanes: of the next round; None = no limit."""

    places: int
    times: int = 0
    lanes: int | None = None

    def __post_init__(self) -> None:
        if self.places < 0 or self.times < 0 or self.places + self.times < 1:
            raise ValueError("somebody must go through")


@dataclass(frozen=True)
class Through:
    """ranked: everybody who goes through, in the next round's rank order. by_place, by_time: the same in two parts.

    level: those who were equal where not all could go through; lots were drawn among them. notes: what to tell.
    """

    ranked: tuple[str, ...]
    by_place: tuple[str, ...]
    by_time: tuple[str, ...]
    level: tuple[str, ...] = ()
    notes: tuple[Note, ...] = ()


def places(heat: Sequence[Finish]) -> dict[str, int]:
    """The place of each who finished; equals share the better place and the next is left out."""
    home = sorted((one for one in heat if one.state is State.FINISHED), key=lambda one: one.key)
    found: dict[str, int] = {}
    for _, level in groupby(home, key=lambda one: one.key):
        place = len(found) + 1
        found |= {one.id: place for one in level}
    return found


def advance(heats: Sequence[Sequence[Finish]], rule: Rule, *, one_clock: bool = True, seed: int = 0) -> Through:
    """Who goes through. one_clock: every heat was timed in the same way; else nobody goes through on time.

    Equals for the last place all go through, and each beyond the number costs a place on time. Equals for the last
    place on time all go through where the lanes allow; else by lot.
    """
    lot, notes = random.Random(f"through {seed}"), []
    standing = {child: place for heat in heats for child, place in places(heat).items()}
    times = {one.id: one.ms for heat in heats for one in heat if one.id in standing}
    firsts = [child for child in standing if standing[child] <= rule.places]
    firsts.sort(key=lambda child: (standing[child], _time(times[child]), child))
    extra = len(firsts) - sum(min(rule.places, _home(heat)) for heat in heats)
    if extra:
        notes.append(Note.LEVEL_PLACE)
    left = max(0, rule.times - extra)
    if left and not one_clock:
        notes.append(Note.CLOCKS)
        left = 0
    others = sorted((ms, child) for child, ms in times.items() if ms is not None and child not in firsts)
    room = left if rule.lanes is None else max(left, rule.lanes - len(firsts))
    chosen, level = _quickest(others, left, len(others) if rule.lanes is None else room, lot)
    if level:
        notes.append(Note.LOTS)
    return Through((*firsts, *chosen), tuple(firsts), chosen, level, tuple(notes))


def _home(heat: Sequence[Finish]) -> int:
    return sum(one.state is State.FINISHED for one in heat)


def _time(ms: int | None) -> float:
    return float("inf") if ms is None else float(ms)


def _quickest(
    others: Sequence[tuple[int, str]], wanted: int, room: int, lot: random.Random
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The quickest so many, with all their equals where there is room; and among whom lots were drawn."""
    if wanted >= len(others) or not wanted:
        return tuple(child for _, child in others[:wanted]), ()
    last = others[wanted - 1][0]
    sure = [child for ms, child in others if ms < last]
    level = [child for ms, child in others if ms == last]
    if len(sure) + len(level) <= max(wanted, room):
        return (*sure, *level), ()
    return (*sure, *sorted(lot.sample(level, wanted - len(sure)))), tuple(level)


def finals(ranked: Sequence[str], lanes: int) -> tuple[tuple[str, ...], ...]:
    """A final for everybody: the first so many, the next so many, …; no final of one where it can be helped.

    Finals are as large as the lanes allow, the first ones first; a last one of a single child takes one from before.
    """
    if lanes < 2:
        raise ValueError("a final needs two lanes")
    parts = [tuple(ranked[at : at + lanes]) for at in range(0, len(ranked), lanes)]
    if len(parts) > 1 and len(parts[-1]) == 1 and lanes > 2:
        parts[-2:] = [parts[-2][:-1], (parts[-2][-1], *parts[-1])]
    return tuple(parts)
