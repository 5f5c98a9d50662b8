"""Which group of a round works at which station, so that each child comes to as many different stations as can be.

First the fairest share of places: in each round the stations that have been used least. Then annealing over who of a
round stands where; steps are counted, so that a seed repeats.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Sequence

from clubapp.engine.mixing_problem import Answer
from clubapp.engine.words import Station

Places = tuple[tuple[str, ...], ...]  # by round and group: the station's id
STEPS_A_GROUP = 120
HOT, COLD = 2.0, 0.1  # visits repeated


def at_stations(answer: Answer, stations: Sequence[Station], seed: int = 0) -> Places | None:
    """The station of each group in each round; None where so many groups do not fit at the stations at once.

    A station takes none or from its smallest to its largest number of groups. That a child comes to a station twice is
    avoided, not forbidden: with new groups every round it often cannot be helped.
    """
    used: Counter[str] = Counter()
    at: list[list[str]] = []
    for groups in answer.rounds:
        order = sorted(stations, key=lambda station: used[station.id])
        counts = _shared(order, len(groups))
        if counts is None:
            return None
        row = [station.id for station, count in zip(order, counts, strict=True) for _ in range(count)]
        used.update(row)
        at.append(row)
    return _spread(answer, at, seed)


def _shared(stations: Sequence[Station], groups: int) -> tuple[int, ...] | None:
    """How many groups at each station, the first stations as few as will do, so that all have a place."""
    if not stations:
        return None if groups else ()
    station, rest = stations[0], stations[1:]
    least = max(1, station.groups_min)
    for count in (*range(least, min(station.groups_max, groups) + 1), 0):
        if (others := _shared(rest, groups - count)) is not None:
            return (count, *others)
    return None


def _spread(answer: Answer, at: list[list[str]], seed: int) -> Places:
    """Groups of a round change places as long as that brings children to new stations."""
    lot = random.Random(seed)
    for row in at:
        lot.shuffle(row)
    visits = Counter(
        (child, station)
        for groups, row in zip(answer.rounds, at, strict=True)
        for group, station in zip(groups, row, strict=True)
        for child in group
    )
    now = best = again(visits)
    kept = [row[:] for row in at]
    width = len(at[0])
    steps = STEPS_A_GROUP * width * len(at) if width > 1 else 0
    for step in range(steps):
        turn, (one, other) = lot.randrange(len(at)), lot.sample(range(width), 2)
        fresh = now + _exchange(answer, at, visits, (turn, one, other))
        if fresh <= now - HOT * (COLD / HOT) ** (step / steps) * math.log(1.0 - lot.random()):
            now = fresh
        else:
            _exchange(answer, at, visits, (turn, one, other))
        if now < best:
            best, kept = now, [row[:] for row in at]
    return tuple(tuple(row) for row in kept)


def _exchange(answer: Answer, at: list[list[str]], visits: Counter[tuple[str, str]], move: tuple[int, int, int]) -> int:
    """How many more visits are repeated after two groups have changed places."""
    turn, one, other = move
    row, groups, more = at[turn], answer.rounds[turn], 0
    for here, there in ((one, other), (other, one)):
        for child in groups[here]:
            more -= visits[child, row[here]] > 1
            visits[child, row[here]] -= 1
            more += visits[child, row[there]] > 0
            visits[child, row[there]] += 1
    row[one], row[other] = row[other], row[one]
    return more


def again(visits: Counter[tuple[str, str]]) -> int:
    """How often a child comes to a station where it has been."""
    return sum(times - 1 for times in visits.values() if times > 1)


def visited(answer: Answer, at: Places) -> tuple[int, int]:
    """To how many different stations a child comes, least and most."""
    seen: dict[str, set[str]] = {}
    for groups, row in zip(answer.rounds, at, strict=True):
        for group, station in zip(groups, row, strict=True):
            for child in group:
                seen.setdefault(child, set()).add(station)
    numbers = [len(stations) for stations in seen.values()]
    return min(numbers), max(numbers)
