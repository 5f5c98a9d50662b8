"""The plain method every coach knows: everybody moves one station on."""

from __future__ import annotations

from collections.abc import Sequence

from clubapp.engine.rotation_problem import Answer, Problem, answer_of


def cyclic(problem: Problem, order: Sequence[str]) -> Answer:
    """Everybody moves one on along `order`, which names every station once.

    More groups than stations: they go two or three together where every station takes so many, and otherwise wait
    their turn in a row behind the last station, so that each rests equally often.
    """
    groups, stations = len(problem.groups), len(order)
    deep = -(-groups // stations)
    together = all(station.groups_max >= deep for station in problem.stations)
    row = [*order] if together else [*order, *[None] * (groups - stations)]
    paths = {
        group: [row[(index + turn) % len(row)] for turn in range(problem.rounds)]
        for index, group in enumerate(problem.groups)
    }
    return answer_of(problem, paths)


def plain(problem: Problem) -> Answer:
    """One on in the order in which the stations are given; looks at no rule."""
    return cyclic(problem, [station.id for station in problem.stations])
