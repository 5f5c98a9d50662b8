"""New groups each round, so that children meet as many others as they can.

A published table where one fits, and then a search over who takes which number, so that the rounds are as fair as they
can be; elsewhere a search over the rounds themselves.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from clubapp.engine import designs, limits
from clubapp.engine.limits import Limit, Stopwatch
from clubapp.engine.mixing_problem import (
    BALANCE,
    Aim,
    Answer,
    Met,
    Problem,
    least_repeats,
    meetings,
    report,
    score,
    violations,
)
from clubapp.engine.mixing_problem import REPEAT as _REPEAT
from clubapp.engine.mixing_search import CHAINS, answer_of, ground_of, placed, searched
from clubapp.engine.outcome import Outcome, Reason, Status

__all__ = ["BALANCE", "Aim", "Answer", "Met", "Problem", "meetings", "report", "score", "solve", "trade", "violations"]

Ints = NDArray[np.int64]
# About a second's worth of exchanges.
PLACINGS, EXCHANGES = 11_000, 900


def plain(problem: Problem) -> Answer:
    """Count off; in each round those of the row behind move one group further than in the last."""
    turned = [
        [(at + turn * (at // problem.groups)) % problem.groups for at in range(len(problem.athletes))]
        for turn in range(problem.rounds)
    ]
    return answer_of(problem, np.array(turned))


def table_for(problem: Problem) -> Ints | None:
    """Rounds × children → group from a published table, the last numbers left out; None where none fits."""
    count, size = len(problem.athletes), math.ceil(len(problem.athletes) / problem.groups)
    rounds = designs.mixing(problem.groups, size)[: problem.rounds] if size > 1 else ()
    if len(rounds) < problem.rounds or problem.together:
        return None
    seats = np.zeros((problem.rounds, count), dtype=np.int64)
    for turn, groups in enumerate(rounds):
        for number, group in enumerate(groups):
            seats[turn, [member - 1 for member in group if member <= count]] = number
    each, fewest = [np.bincount(turn, minlength=problem.groups) for turn in seats], count // problem.groups
    return seats if all(found.min() >= fewest and found.max() <= size for found in each) else None


def solve(
    problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0, start: Answer | None = None
) -> Outcome[Answer]:
    """The rounds with the least score that keep the pair rules. start: rounds to begin from."""
    watch = Stopwatch()
    given = [start] if start is not None and not violations(problem, start) else []
    tried = [*given, *([plain(problem)] if not violations(problem, plain(problem)) else [])]
    table, ground = table_for(problem), ground_of(problem)
    if table is not None and not (given and problem.aim is Aim.FAIR):
        tried.append(answer_of(problem, placed(ground, table, _steps(PLACINGS, limit), seed)))
    if table is None or problem.aim is Aim.FAIR:
        tried.append(
            answer_of(problem, searched(ground, _starts(problem, tried, seed), _steps(EXCHANGES, limit), seed))
        )
    kept = [answer for answer in tried if not violations(problem, answer)]
    if not kept:
        return Outcome(None, Status.IMPOSSIBLE, math.inf, math.inf, watch.seconds, reasons(problem))
    best = min(kept, key=lambda answer: score(problem, answer))
    bound = _REPEAT[problem.aim] * least_repeats(problem)
    worth = score(problem, best)
    return Outcome(best, Status.BEST if worth <= bound else Status.GOOD, worth, min(worth, bound), watch.seconds)


def _steps(a_unit: int, limit: Limit) -> int:
    return max(10, round(a_unit * limit.deterministic))


def _starts(problem: Problem, known: list[Answer], seed: int) -> Ints:
    """Chains to begin from: what is known, and rounds by lot."""
    lot = np.random.default_rng([seed, 1])
    by_size = np.repeat(np.arange(problem.groups), problem.sizes)
    chains = np.stack([np.stack([lot.permutation(by_size) for _ in range(problem.rounds)]) for _ in range(CHAINS)])
    for at, answer in enumerate(known):
        for turn, groups in enumerate(answer.rounds):
            seat = {child: number for number, group in enumerate(groups) for child in group}
            chains[at, turn] = [seat[child] for child in problem.ids]
    return chains


def trade(problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0) -> tuple[Outcome[Answer], Outcome[Answer]]:
    """Both ends: nobody meets twice and then fair; every round fair and then few meetings twice."""
    mixed = solve(replace(problem, aim=Aim.MIX), limit=limit, seed=seed)
    return mixed, solve(replace(problem, aim=Aim.FAIR), limit=limit, seed=seed, start=mixed.answer)


def reasons(problem: Problem) -> tuple[Reason, ...]:
    """The pair rules, each with its way out."""
    found = []
    for code, rules, words, way in (
        ("together", problem.together, "are to stay together", "be in different groups"),
        ("apart", problem.apart, "are to be kept apart", "be in one group"),
    ):
        for rule in rules:
            about = tuple(child for child in problem.ids if child in rule)
            names = " and ".join(problem.name(child) for child in about)
            if len(about) > 1:
                found.append(Reason(code, f"{names} {words}.", about, f"Let {names} {way}."))
    return tuple(found)
