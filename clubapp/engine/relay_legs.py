"""Who runs which leg, where the baton changes hands, and what a place is worth."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from clubapp.engine.relay_problem import Order, Problem

LONG_LEG_M = 200.0
ZONE_M, SCRATCH_M = 30.0, 20.0  # where the leg is at most 200 m
LATE_ZONE_M = 20.0  # centred on the line, where it is longer
LEAST_SHARE = 2.0  # a zone is marked where a leg is at least twice as long: our rule of thumb


@dataclass(frozen=True)
class Zone:
    """Metres before and after the line within which the baton, not the runner, changes hands."""

    before_m: float
    after_m: float


def zone(leg_m: float) -> Zone | None:
    """The takeover zone for an incoming leg; None where a leg is too short for one: hand over behind the line."""
    if leg_m > LONG_LEG_M:
        return Zone(LATE_ZONE_M / 2, LATE_ZONE_M / 2)
    return Zone(SCRATCH_M, ZONE_M - SCRATCH_M) if leg_m >= LEAST_SHARE * ZONE_M else None


def in_order(
    problem: Problem, team: Sequence[str], twice: frozenset[str], lot: random.Random, places: Sequence[int] = ()
) -> tuple[str, ...]:
    """The legs of a team. Who runs twice rests between where somebody else can run.

    places: where even legs race even legs, which leg the slowest of every team runs, the next, and so on. They are
    drawn once for all teams: those who meet are alike, and the order tells nobody who is quicker in a team.
    """
    legs = [child for child in team for _ in range(2 if child in twice else 1)]
    if problem.order is Order.LOT:
        lot.shuffle(legs)
    else:
        own = problem.own
        sign = 1 if problem.order is Order.QUICK_FIRST else -1
        legs.sort(key=lambda child: (sign * own[child], child))
    if problem.order is Order.QUICK_LAST:
        head = legs[:-1]
        lot.shuffle(head)
        legs = [*head, legs[-1]]
    if problem.order is Order.EVEN_LEGS and places:
        legs = [child for _, child in sorted(zip(places, legs, strict=True))]
    return rested(legs)


def rested(legs: list[str]) -> tuple[str, ...]:
    """The second of two legs in a row is moved as little as it takes."""
    for at in range(1, len(legs)):
        if legs[at] == legs[at - 1] and len(set(legs)) > 1:
            child, rest = legs[at], [*legs[: at - 1], *legs[at + 1 :]]
            before = min(at - 1, len(rest) - 1)
            return (*rest[:before], child, rest[before], child, *rest[before + 1 :])
    return tuple(legs)


def ends(legs: int) -> tuple[int, int]:
    """How many of a shuttle team start at the near end and how many at the far end."""
    return -(-legs // 2), legs // 2


def points(results: Mapping[str, int | None]) -> dict[str, int]:
    """Points by place from each team's time in milliseconds: of n teams the first has n, the last 1.

    Equal teams have the same points and the next place is left out. Who has no time has none.
    """
    timed = {team: ms for team, ms in results.items() if ms is not None}
    return {
        team: len(results) - sum(other < timed[team] for other in timed.values()) if team in timed else 0
        for team in results
    }
