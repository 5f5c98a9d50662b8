"""Who gets which lane: by lot, or by lot within rank groups as athletics meetings draw them.

World Athletics Technical Rules, TR20.4: three lots, the best-ranked for the best lanes. Rounds without ranks, and
straight finals, are drawn by one lot. The lists for eight lanes are the rule's; for other numbers of lanes ours, in the
same spirit.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from enum import StrEnum

Groups = tuple[tuple[int, ...], ...]


class LaneDraw(StrEnum):
    LOT = "lot"
    OLD = "old"  # every race up to 800 m, as drawn until 2022/23
    STRAIGHT = "straight"
    BEND = "bend"  # 200 m
    LAP = "lap"  # 400 m, and what else starts with a bend run in lanes


EIGHT: dict[LaneDraw, Groups] = {
    LaneDraw.OLD: ((3, 4, 5, 6), (7, 8), (1, 2)),
    LaneDraw.STRAIGHT: ((3, 4, 5, 6), (2, 7), (1, 8)),
    LaneDraw.BEND: ((5, 6, 7), (3, 4, 8), (1, 2)),
    LaneDraw.LAP: ((4, 5, 6, 7), (3, 8), (1, 2)),
}


def lane_groups(draw: LaneDraw, lanes: int) -> Groups:
    """Lanes for the best-ranked, the next and the last. By lot all lanes are one group."""
    if draw is LaneDraw.LOT:
        return (tuple(range(1, lanes + 1)),)
    if lanes == 8:
        return EIGHT[draw]
    if draw is LaneDraw.STRAIGHT:
        return _from_the_middle(lanes)
    return _from_the_outside(lanes)


def _from_the_middle(lanes: int) -> Groups:
    """Half of the lanes in the middle, then a pair beside them, then the rest: eight lanes give the rule's own."""
    middle = (lanes + 1) / 2
    best = sorted(range(1, lanes + 1), key=lambda lane: (abs(lane - middle), lane))
    half = -(-lanes // 2)
    parts = (best[:half], best[half : half + 2], best[half + 2 :])
    return tuple(tuple(sorted(part)) for part in parts if part)


def _from_the_outside(lanes: int) -> Groups:
    """The innermost lanes have the tightest bend and come last."""
    inner = min(2, lanes - 1)
    upper = tuple(range(inner + 1, lanes + 1))
    half = -(-len(upper) // 2)
    return tuple(part for part in (upper[:half], upper[half:], tuple(range(1, inner + 1))) if part)


def draw_lanes(ranked: Sequence[str], lanes: int, draw: LaneDraw, lot: random.Random) -> tuple[tuple[int, str], ...]:
    """(lane, child) by lane. ranked: the best first. By lot inner lanes stay empty; by rank the last group's do."""
    if draw is LaneDraw.LOT:
        free = list(range(lanes - len(ranked) + 1, lanes + 1))
        lot.shuffle(free)
        return tuple(sorted(zip(free, ranked, strict=True)))
    waiting, placed = list(ranked), []
    for group in lane_groups(draw, lanes):
        some, waiting = waiting[: len(group)], waiting[len(group) :]
        placed += list(zip(lot.sample(group[len(group) - len(some) :], len(some)), some, strict=True))
    return tuple(sorted(placed))


def wrong_lanes(ranked: Sequence[str], places: Sequence[tuple[int, str]], lanes: int, draw: LaneDraw) -> list[str]:
    """What is wrong with the lanes of one heat, in words. ranked: its children, the best first."""
    given = {child: lane for lane, child in places}
    if len({lane for lane, _ in places}) < len(places) or any(not 1 <= lane <= lanes for lane, _ in places):
        return ["Two children share a lane, or a lane is not there."]
    at = 0
    for group in lane_groups(draw, lanes):
        some = ranked[at : at + len(group)]
        if {given[child] for child in some} != set(group[len(group) - len(some) :]):
            return [f"The lanes {', '.join(map(str, group))} are not held by whom the draw gives them."]
        at += len(group)
    return []
