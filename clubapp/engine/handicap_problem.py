"""What is asked of a handicap race, and what an answer is."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from statistics import median

from clubapp.engine.runners import Floats, Race, Runner

SECOND_MS, HALF_METRE_MM = 1000, 500


class How(StrEnum):
    SECONDS = "seconds"  # the slowest starts first, on a count that is called out
    METRES = "metres"  # all start together, the slowest nearest to the finish


class Aim(StrEnum):
    TOGETHER = "together"  # all finish together if each runs the likely time
    CHANCES = "chances"  # each is as likely to be first as the others


@dataclass(frozen=True)
class Problem:
    """step: marks are whole numbers of it, in milliseconds or millimetres. front: the count the first start is called
    on, in milliseconds. distance_mm: of the whole course, needed for metres.

    new: ids of children who have not been timed yet. They get a careful start: their likely finish is not before the
    middle one of the others', so that a wrong guess gives nobody the race.
    Raises ValueError for fewer than two children, one of them twice, or figures out of range.
    """

    runners: tuple[Runner, ...]
    how: How = How.SECONDS
    aim: Aim = Aim.CHANCES
    step: int = SECOND_MS
    front: int = 0
    distance_mm: int = 0
    new: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        ids = {runner.id for runner in self.runners}
        if len(self.runners) < 2 or len(ids) < len(self.runners) or self.new - ids:
            raise ValueError("a handicap race needs two children, each of them once")
        if self.step < 1 or self.front < 0 or (self.how is How.METRES and self.distance_mm < 2 * self.step):
            raise ValueError("the step must be above 0, the first count from 0, and metres need the distance")

    @property
    def race(self) -> Race:
        return Race(self.runners, self.how is How.METRES)

    def starts(self, marks: Mapping[str, int]) -> list[float]:
        """Marks as the race sees them: seconds, or what they add to log(time), in the runners' order."""
        if self.how is How.SECONDS:
            return [marks[one.id] / 1000 for one in self.runners]
        return [math.log1p(-marks[one.id] / self.distance_mm) for one in self.runners]


@dataclass(frozen=True)
class Answer:
    """marks: (id, mark) by id. Seconds: milliseconds on the count, the front mark smallest. Metres: millimetres in
    front of the line; whoever runs the whole course has 0.
    """

    marks: tuple[tuple[str, int], ...]

    @property
    def of(self) -> dict[str, int]:
        return dict(self.marks)


def finishes(problem: Problem, marks: Mapping[str, int]) -> list[float]:
    """When each would be home running the likely time, in seconds, in the runners' order."""
    own = [one.likely.median_s for one in problem.runners]
    starts = problem.starts(marks)
    if problem.how is How.SECONDS:
        return [start + time for start, time in zip(starts, own, strict=True)]
    return [math.exp(start) * time for start, time in zip(starts, own, strict=True)]


def too_early(problem: Problem, marks: Mapping[str, int]) -> list[str]:
    """New children whose likely finish is before the middle one of the others'."""
    home = dict(zip((one.id for one in problem.runners), finishes(problem, marks), strict=True))
    others = [at for child, at in home.items() if child not in problem.new]
    return [child for child in sorted(problem.new) if others and home[child] < median(others) - 1e-9]


def chances(problem: Problem, answer: Answer) -> dict[str, float]:
    """Each child's chance of being first; for the coach alone."""
    found: Floats = problem.race.chances(problem.starts(answer.of))
    return {one.id: float(chance) for one, chance in zip(problem.runners, found, strict=True)}
