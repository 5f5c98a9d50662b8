"""Marks: in closed form for a common finish, by an integral and small steps for equal chances."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from clubapp.engine.handicap_problem import How, Problem, finishes, too_early
from clubapp.engine.runners import Floats

PASSES = 12
Marks = dict[str, int]


def together(problem: Problem) -> Marks:
    """Whole steps with which the likely finishes differ least.

    On a count this is exact: what is left of each time after whole steps lies on a circle of one step, and the circle
    is cut in its widest gap. In metres each mark is the nearest one.
    """
    if problem.how is How.METRES:
        return _nearest(problem, problem.race.level_starts())
    step, slowest = problem.step, max(one.ms for one in problem.runners)
    late = {one.id: slowest - one.ms for one in problem.runners}
    rests = sorted({gap % step for gap in late.values()})
    gaps = [(after - before, after) for before, after in zip([rests[-1] - step, *rests], rests, strict=False)]
    _, first = max(gaps, key=lambda gap: (gap[0], -gap[1]))
    return _from_front(problem, {child: (gap - first) // step * step for child, gap in late.items()})


def level_chances(problem: Problem) -> Marks:
    """Whole steps with which the chances differ least: the exact starts rounded, then mark by mark to and fro."""
    marks = careful(problem, _nearest(problem, problem.race.equal_starts()))
    worth = unequal(problem, marks)
    for _ in range(PASSES):
        before = worth
        for tried in _moves(problem, marks):
            if not too_early(problem, tried) and (found := unequal(problem, tried)) < worth:
                marks, worth = tried, found
        if worth == before:
            break
    return marks


def unequal(problem: Problem, marks: Mapping[str, int]) -> tuple[float, float]:
    """log of the largest chance over the smallest, and then how far all are from equal; smaller is better."""
    found = np.maximum(problem.race.chances(problem.starts(marks)), 1e-12)
    logs = np.log(found * len(found))
    return float(logs.max() - logs.min()), float((logs**2).sum())


def _nearest(problem: Problem, starts: Floats) -> Marks:
    """The nearest whole steps."""
    ids, step = [one.id for one in problem.runners], problem.step
    if problem.how is How.SECONDS:
        late = starts - starts.min()
        return _from_front(problem, {one: round(1000 * gap / step) * step for one, gap in zip(ids, late, strict=True)})
    ahead = -np.expm1(starts - starts.max()) * problem.distance_mm
    return {one: _on_course(problem, round(gap / step) * step) for one, gap in zip(ids, ahead, strict=True)}


def _on_course(problem: Problem, mark: int) -> int:
    """Nobody stands on the finish."""
    return min(max(mark, 0), (problem.distance_mm - 1) // problem.step * problem.step)


def _from_front(problem: Problem, marks: Marks) -> Marks:
    """The first starts on the front count; on the course somebody runs all of it."""
    least = min(marks.values()) - (problem.front if problem.how is How.SECONDS else 0)
    return {child: mark - least for child, mark in marks.items()}


def _moves(problem: Problem, marks: Marks) -> Iterator[Marks]:
    """One mark a step to or fro; on the course never over its ends."""
    for child in sorted(marks):
        for step in (-problem.step, problem.step):
            mark = marks[child] + step
            if problem.how is How.SECONDS or mark == _on_course(problem, mark):
                yield _from_front(problem, {**marks, child: mark})


def careful(problem: Problem, marks: Marks) -> Marks:
    """New children moved back until their likely finish is not before the middle of the others'."""
    back = problem.step if problem.how is How.SECONDS else -problem.step
    while early := too_early(problem, marks):
        if problem.how is How.METRES and any(marks[child] + back < 0 for child in early):
            marks = _others_forward(problem, marks)
        else:
            marks = {child: mark + back * (child in early) for child, mark in marks.items()}
    return _from_front(problem, marks)


def _others_forward(problem: Problem, marks: Marks) -> Marks:
    """A new child cannot stand behind the line: the others stand a step nearer."""
    step = problem.step
    return {child: _on_course(problem, mark + step * (child not in problem.new)) for child, mark in marks.items()}


def joined(problem: Problem, marks: Marks, child: str) -> Marks:
    """One more mark, the step with which chances differ least; nobody else's moves. A new child's is careful."""
    others = [at for one, at in zip(problem.runners, _homes(problem, marks, child), strict=True) if one.id != child]
    if problem.how is How.SECONDS:
        last = int(1000 * max(others)) // problem.step + 1
        steps = [problem.front + at * problem.step for at in range(last + 1)]
    else:
        steps = list(range(0, problem.distance_mm, problem.step))
    ways = [{**marks, child: mark} for mark in steps]
    kept = [way for way in ways if child not in too_early(problem, way)]
    return min(kept or [ways[-1 if problem.how is How.SECONDS else 0]], key=lambda way: unequal(problem, way))


def _homes(problem: Problem, marks: Marks, child: str) -> list[float]:
    return finishes(problem, {child: problem.front, **marks})


def without(problem: Problem, marks: Marks, child: str) -> Marks:
    """A child's mark taken away; if nobody is left on the front mark, all come forward together."""
    return _from_front(problem, {one: mark for one, mark in marks.items() if one != child})


def spread_ms(problem: Problem, marks: Mapping[str, int]) -> float:
    """The likely finishes' difference, in milliseconds."""
    home = finishes(problem, marks)
    return 1000 * (max(home) - min(home))
