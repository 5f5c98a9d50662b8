"""Which group is at which station in which round: the rotation.

Everybody moves one station on where that is best; otherwise a flow of groups through the rounds, given to the solver.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from clubapp.engine import limits
from clubapp.engine import rotation_columns as columns
from clubapp.engine import rotation_model as model
from clubapp.engine.cpsat import Proof
from clubapp.engine.limits import Limit, Stopwatch
from clubapp.engine.outcome import Outcome, Reason, Status
from clubapp.engine.rotation_plain import plain
from clubapp.engine.rotation_problem import Answer, Problem
from clubapp.engine.rotation_room import room_of
from clubapp.engine.rotation_rules import (
    Costs,
    costs,
    floor_mm,
    longest_hard_run,
    score,
    settled,
    violations,
    walking_m,
)
from clubapp.engine.rotation_start import starts
from clubapp.engine.rotation_why import clash, possible, reasons, without

__all__ = [
    "Answer",
    "Costs",
    "End",
    "Problem",
    "clash",
    "costs",
    "longest_hard_run",
    "plain",
    "possible",
    "reasons",
    "score",
    "solve",
    "trade",
    "violations",
    "walking_m",
    "without",
]

# How many times the limit a search without any answer goes on before it gives up.
PATIENCE = 8


@dataclass(frozen=True)
class _Task:
    problem: Problem
    limit: Limit
    seed: int
    watch: Stopwatch

    def outcome(self, status: Status, answer: Answer, bound_mm: float) -> Outcome[Answer]:
        worth = score(self.problem, answer)
        return Outcome(answer, status, worth, min(worth, bound_mm / 1000), self.watch.seconds)


def solve(
    problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0, start: Answer | None = None
) -> Outcome[Answer]:
    """The rotation with the least score that keeps the rules, and how far it can be from the best (metres).

    start: a rotation to begin from; one that breaks rules is left aside.
    """
    task = _Task(problem, limit, seed, Stopwatch())
    given = [start] if start is not None and not violations(problem, start) else []
    known = _best(problem, *given, *starts(problem, seed))
    if known is None and not possible(problem, seed):
        return _impossible(clash(problem, seed), task.watch)
    bound_mm = floor_mm(problem)
    if columns.fits(problem) and (known is None or score(problem, known) > bound_mm / 1000):
        worth_mm = None if known is None else round(1000 * score(problem, known))
        found = columns.best(problem, worth_mm, limit, seed)
        known, bound_mm = found.answer or known, max(bound_mm, found.bound)
    if known is not None and score(problem, known) <= bound_mm / 1000:
        return task.outcome(Status.BEST, known, bound_mm)
    return _searched(task, known, bound_mm)


def _best(problem: Problem, *answers: Answer) -> Answer | None:
    return min(answers, key=lambda answer: score(problem, answer), default=None)


def _searched(task: _Task, known: Answer | None, bound_mm: int) -> Outcome[Answer]:
    """Let the solver improve what is known, or find something where nothing is."""
    draft = model.build(task.problem, room_of(task.problem))
    done = model.run(draft, task.limit, task.seed, known)
    if done.proof is Proof.UNKNOWN and known is None:
        done = model.run(draft, _patient(task.limit), task.seed, None)
    if done.proof is Proof.NONE:
        return _impossible(clash(task.problem, task.seed), task.watch)
    if done.found:
        found = settled(task.problem, model.read(draft, done))
        best = _best(task.problem, found, *([known] if known else [])) or found
        if done.proof is Proof.BEST:
            return task.outcome(Status.BEST, best, math.inf)
        return task.outcome(Status.GOOD, best, max(bound_mm, math.ceil(done.bound - 0.5)))
    if known is None:
        return _impossible((NOT_FOUND,), task.watch)
    return task.outcome(Status.SIMPLE, known, bound_mm)


NOT_FOUND = Reason("time", "No rotation was found in the time given; there may be none.", (), "Have fewer rounds.")


def _patient(limit: Limit) -> Limit:
    wall = None if limit.wall_seconds is None else PATIENCE * limit.wall_seconds
    return Limit(deterministic=PATIENCE * limit.deterministic, wall_seconds=wall)


def _impossible(why: tuple[Reason, ...], watch: Stopwatch) -> Outcome[Answer]:
    return Outcome(None, Status.IMPOSSIBLE, math.inf, math.inf, watch.seconds, why)


@dataclass(frozen=True)
class End:
    """One end of the trade. hard_run: the longest run of hard stations of any group. walking_m: all groups together."""

    answer: Answer
    hard_run: int
    walking_m: float


def trade(problem: Problem, kept: Outcome[Answer], *, limit: Limit = limits.DEFAULT, seed: int = 0) -> tuple[End, ...]:
    """Both ends where little walking and few hard stations in a row cannot both be had, the gentler one first.

    kept: what `solve` answered. Empty where the rule on hard stations costs no walking, or there is no such rule.
    """
    if problem.max_hard_run is None or kept.answer is None:
        return ()
    free = solve(replace(problem, max_hard_run=None), limit=limit, seed=seed, start=kept.answer)
    if free.answer is None or free.score >= kept.score:
        return ()
    return tuple(_end(problem, answer) for answer in (kept.answer, free.answer))


def _end(problem: Problem, answer: Answer) -> End:
    return End(answer, longest_hard_run(problem, answer), walking_m(problem, answer))
