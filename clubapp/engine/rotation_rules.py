"""What a rotation costs and which rules it breaks, from plain data and apart from any solver."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise

from clubapp.engine.rotation_problem import Answer, Problem


@dataclass(frozen=True)
class Costs:
    """rests: turns in which a group rests. most_rests: of one group. meetings_again: how often two groups share a
    station after they did before. successions_again: how often a station follows another that it followed before.
    walking_mm: total over groups, in whole millimetres.
    """

    rests: int
    most_rests: int
    meetings_again: int
    successions_again: int
    walking_mm: int


def stations_of(path: tuple[str | None, ...]) -> list[str]:
    """The stations of a path; a group that rests stays where it was."""
    return [station for station in path if station is not None]


def walking_mm(problem: Problem, answer: Answer) -> int:
    paths = [stations_of(answer.path(group)) for group in problem.groups]
    return sum(problem.walks[here, there] for path in paths for here, there in pairwise(path))


def walking_m(problem: Problem, answer: Answer) -> float:
    """Straight-line metres between each group's successive stations, all groups together."""
    return walking_mm(problem, answer) / 1000


def costs(problem: Problem, answer: Answer) -> Costs:
    paths = [answer.path(group) for group in problem.groups]
    rests = [path.count(None) for path in paths]
    met = Counter(pair for turn in range(1, problem.rounds + 1) for pair in _meetings(problem, answer, turn))
    follows = Counter(step for path in paths for step in pairwise(stations_of(path)))
    return Costs(
        rests=sum(rests),
        most_rests=max(rests),
        meetings_again=sum(times - 1 for times in met.values()) if problem.meet_once else 0,
        successions_again=sum(times - 1 for times in follows.values()) if problem.balanced_succession else 0,
        walking_mm=walking_mm(problem, answer),
    )


def _meetings(problem: Problem, answer: Answer, turn: int) -> Iterator[tuple[str, str]]:
    for station in problem.stations:
        yield from combinations(answer.groups_at(station.id, turn), 2)
