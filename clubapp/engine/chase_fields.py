"""The children cut into fields by age, so that nobody is hunted by somebody much older."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from clubapp.engine.chase_problem import Child, Problem

LEAST = 3  # children in a field


def ages_ok(problem: Problem, field: Sequence[Child]) -> bool:
    """Whether known ages are within the gap."""
    years = [child.years for child in field if child.years is not None]
    return not years or max(years) - min(years) <= problem.gap_years + 1e-9


def fields(problem: Problem) -> tuple[tuple[str, ...], ...] | None:
    """As few fields as the gap allows, as even in number as they can be; None where a field would be too small.

    A child whose age nobody wrote down goes where the speeds are nearest.
    """
    known = sorted((c for c in problem.children if c.years is not None), key=lambda c: (c.years, c.id))
    unknown = [c for c in problem.children if c.years is None]
    parts = _parted(problem, known) if known else [[]]
    if parts is None:
        return None
    for child in sorted(unknown, key=lambda c: c.id):
        near = min(range(len(parts)), key=lambda at: (_far(child, parts[at]), at))
        parts[near] = [*parts[near], child]
    return tuple(tuple(sorted(child.id for child in part)) for part in parts)


def _far(child: Child, field: Sequence[Child]) -> float:
    """How unlike the field's mean speed a child is."""
    logs = [other.runner.likely.log_mean for other in field]
    return abs(child.runner.likely.log_mean - sum(logs) / len(logs)) if logs else 0.0


def _parted(problem: Problem, known: Sequence[Child]) -> list[list[Child]] | None:
    """Cut by age into the fewest fields, then into the most even ones: best[end] = (fields, squares, cuts)."""
    best: dict[int, tuple[int, int, tuple[int, ...]]] = {0: (0, 0, ())}
    for end in range(LEAST, len(known) + 1):
        ways = [
            (best[first][0] + 1, best[first][1] + (end - first) ** 2, (*best[first][2], end))
            for first in range(end - LEAST + 1)
            if first in best and ages_ok(problem, known[first:end])
        ]
        if ways:
            best[end] = min(ways)
    if len(known) < LEAST and ages_ok(problem, known):
        return [list(known)]
    if len(known) not in best:
        return None
    cuts = (0, *best[len(known)][2])
    return [list(known[a:b]) for a, b in pairwise(cuts)]


def gap_needed(problem: Problem) -> float:
    """The least gap, in whole and half years, at which nobody is left over."""
    gap = problem.gap_years
    while True:
        gap = (int(2 * gap) + 1) / 2
        known = sorted((c for c in problem.children if c.years is not None), key=lambda c: (c.years, c.id))
        wider = Problem(problem.children, gap_years=gap)
        if _parted(wider, known) is not None:
            return gap
