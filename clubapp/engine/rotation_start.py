"""Rotations made without a solver: the closed forms, laid over the stations so that they suit them best."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from itertools import combinations, pairwise

from clubapp.engine import designs
from clubapp.engine.rotation_plain import cyclic, plain
from clubapp.engine.rotation_problem import Answer, Problem, answer_of
from clubapp.engine.rotation_rules import costs, stations_of, violations, weighed

TRIES = 8


def starts(problem: Problem, seed: int) -> list[Answer]:
    """Answers that keep every rule, the best first; none where the closed forms do not fit."""
    found = [*_made(problem, seed)] if not problem.fixed else []
    kept = [answer for answer in found if not violations(problem, answer)]
    return sorted(kept, key=lambda answer: weighed(problem, costs(problem, answer)))


def _made(problem: Problem, seed: int) -> Iterator[Answer]:
    if len(problem.stations) >= problem.rounds or len(problem.groups) > len(problem.stations):
        yield plain(problem)
        yield suited(problem, lambda order: cyclic(problem, order), seed)
    if problem.balanced_succession and _fits_square(problem):
        yield suited(problem, lambda order: williams(problem, order), seed)


def _fits_square(problem: Problem) -> bool:
    return max(len(problem.groups), problem.rounds) <= len(problem.stations)


def williams(problem: Problem, order: Sequence[str]) -> Answer:
    """Each station follows each other equally often; fewer groups or rounds take a part of the square."""
    rows = designs.williams(len(order))
    paths: dict[str, list[str | None]] = {
        group: [order[number - 1] for number in row[: problem.rounds]]
        for group, row in zip(problem.groups, rows, strict=False)
    }
    return answer_of(problem, paths)


def suited(problem: Problem, build: Callable[[Sequence[str]], Answer], seed: int) -> Answer:
    """The best of the answers `build` makes from orders of the stations: exchanges from several beginnings."""
    lot = random.Random(seed)
    order = [station.id for station in problem.stations]
    tried = []
    for _ in range(TRIES):
        tried.append(_exchanged(problem, build, order))
        order = lot.sample(order, len(order))
    return build(min(tried, key=lambda made: (made[0], made[1]))[1])


Made = tuple[tuple[int, int], list[str]]


def _exchanged(problem: Problem, build: Callable[[Sequence[str]], Answer], order: list[str]) -> Made:
    """Exchange two stations, or turn round a stretch, as long as it helps."""
    best = (_burden(problem, build(order)), order)
    better = True
    while better:
        better = False
        for changed in _neighbours(best[1]):
            burden = _burden(problem, build(changed))
            if burden < best[0]:
                best, better = (burden, changed), True
    return best


def _neighbours(order: list[str]) -> Iterator[list[str]]:
    for a, b in combinations(range(len(order)), 2):
        swapped = [*order]
        swapped[a], swapped[b] = order[b], order[a]
        yield swapped
        yield order[:a] + order[a : b + 1][::-1] + order[b + 1 :]


def _burden(problem: Problem, answer: Answer) -> tuple[int, int]:
    """Hard stations beyond the longest run that is allowed, and walking."""
    paths = [stations_of(answer.path(group)) for group in problem.groups]
    walked = sum(problem.walks[step] for path in paths for step in pairwise(path)) if problem.least_walking else 0
    return sum(_over(problem, answer.path(group)) for group in problem.groups), walked


def _over(problem: Problem, path: Sequence[str | None]) -> int:
    if problem.max_hard_run is None:
        return 0
    over = run = 0
    for where in path:
        run = run + 1 if where is not None and problem.station[where].hard else 0
        over += run > problem.max_hard_run
    return over
