"""Where the stations stand: to scale, run-outs clear, calls heard, ways short."""

from __future__ import annotations

from clubapp.engine import limits
from clubapp.engine.layout_ground import Closed, simple
from clubapp.engine.layout_model import any_places, improve
from clubapp.engine.layout_problem import (
    AISLE,
    FACING,
    HUSH,
    TURNS,
    Answer,
    Box,
    Ground,
    Place,
    Point,
    Problem,
    Station,
)
from clubapp.engine.layout_rules import UNIT, cost, drowned, score, troubles, violations, walk
from clubapp.engine.layout_shelf import shelves as plain
from clubapp.engine.layout_why import stuck, why
from clubapp.engine.limits import Limit, Stopwatch
from clubapp.engine.outcome import Outcome, Reason, Status

__all__ = [
    "AISLE",
    "FACING",
    "HUSH",
    "TURNS",
    "UNIT",
    "Answer",
    "Box",
    "Closed",
    "Ground",
    "Place",
    "Point",
    "Problem",
    "Station",
    "drowned",
    "fits",
    "improve",
    "plain",
    "score",
    "simple",
    "solve",
    "troubles",
    "violations",
    "walk",
]


def solve(
    problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0, start: Answer | None = None
) -> Outcome[Answer]:
    """Shelves first, then the solver from there. start: places to begin with, if they keep every rule.

    Score and bound in metres: the way round all stations, across and along, with the farthest way to water and to first
    aid, and twice what a loud station is too near to one where children listen.
    """
    watch = Stopwatch()
    blocked = stuck(problem)
    if blocked:
        return Outcome(None, Status.IMPOSSIBLE, 0.0, 0.0, watch.seconds, blocked)
    begin = _better(problem, start, plain(problem))
    best, bound, none = improve(problem, limit, seed, begin)
    if best is None:
        reasons = why(problem, seed) if none else (_no_time(),)
        return Outcome(None, Status.IMPOSSIBLE, 0.0, 0.0, watch.seconds, reasons)
    worth = cost(problem, best)
    status = Status.BEST if worth <= bound else Status.SIMPLE if best is begin else Status.GOOD
    return Outcome(best, status, worth / UNIT, min(bound, worth) / UNIT, watch.seconds)


def fits(problem: Problem, *, limit: Limit = limits.QUICK, seed: int = 0) -> Answer | None:
    """Any places that keep every rule, however long the ways; None where none were found within the limit."""
    return plain(problem) or any_places(problem, limit, seed)


def _better(problem: Problem, start: Answer | None, simple: Answer | None) -> Answer | None:
    kept = [one for one in (start, simple) if one is not None and not violations(problem, one)]
    return min(kept, key=lambda one: cost(problem, one)) if kept else None


def _no_time() -> Reason:
    text = "No places were found in the time there is, and it was not proven that there are none."
    return Reason("time", text, (), "Leave a station out, or place some by hand.")
