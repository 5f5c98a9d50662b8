"""New groups each round, so that children meet as many others as they can.

A published table where one fits, and then a search over who takes which number, so that the rounds are as fair as they
can be; elsewhere a search over the rounds themselves.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from clubapp.engine import designs, limits
from clubapp.engine.limits import Limit, Stopwatch
from clubapp.engine.mixing_bound import bound
from clubapp.engine.mixing_ground import Ground, Ints, answer_of, ground_of
from clubapp.engine.mixing_model import one_round
from clubapp.engine.mixing_places import Places, at_stations, visited
from clubapp.engine.mixing_placing import placed
from clubapp.engine.mixing_problem import (
    BALANCE,
    Aim,
    Answer,
    Groups,
    Met,
    Problem,
    meetings,
    report,
    score,
)
from clubapp.engine.mixing_rules import reasons, violations, without
from clubapp.engine.mixing_search import CHAINS, searched
from clubapp.engine.outcome import Outcome, Reason, Status

__all__ = [
    "BALANCE",
    "Aim",
    "Answer",
    "Groups",
    "Met",
    "Places",
    "Problem",
    "at_stations",
    "meetings",
    "reasons",
    "report",
    "score",
    "solve",
    "trade",
    "violations",
    "visited",
    "without",
]

# Steps for a unit of work, which is about a third of a second.
PLACINGS, EXCHANGES = 3_500, 3_000
FULL = 120  # children times rounds
NOT_FOUND = Reason("time", "No rounds were found in the time given; there may be none.", (), "Leave out a rule.")


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
    if len(rounds) < problem.rounds or problem.held:
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
    known, why = _known(problem, seed)
    if why:
        return Outcome(None, Status.IMPOSSIBLE, math.inf, math.inf, watch.seconds, why)
    if start is not None and not violations(problem, start):
        known = [start, *known]
    table, ground, fair = table_for(problem), ground_of(problem), problem.aim is Aim.FAIR
    if table is not None and not (fair and start is not None):
        known.append(answer_of(problem, placed(ground, table, _steps(problem, PLACINGS, limit, ground), seed)))
    if table is None or fair or violations(problem, known[-1]):
        known += [answer_of(problem, seats) for seats in _searched(problem, known, limit, seed)]
    kept = [answer for answer in known if not violations(problem, answer)]
    if not kept:
        return Outcome(None, Status.IMPOSSIBLE, math.inf, math.inf, watch.seconds, (NOT_FOUND,))
    best, least = min(kept, key=lambda answer: score(problem, answer)), bound(problem)
    worth = score(problem, best)
    return Outcome(best, Status.BEST if worth <= least else Status.GOOD, worth, min(worth, least), watch.seconds)


def _known(problem: Problem, seed: int) -> tuple[list[Answer], tuple[Reason, ...]]:
    """What keeps the rules without any search for the best, or which rules clash; neither where that was not found."""
    simple = plain(problem)
    if not violations(problem, simple):
        return [simple], ()
    found = one_round(problem, seed)
    if isinstance(found, tuple):
        return [], found
    return [answer_of(problem, np.tile(found, (problem.rounds, 1)))], ()


def _steps(problem: Problem, a_unit: int, limit: Limit, ground: Ground) -> int:
    """Fewer where there are few children and rounds to be exchanged."""
    share = min(1.0, max(0.1, len(problem.ids) * problem.rounds / FULL))
    return max(10, round(share * a_unit * limit.deterministic / ground.slow))


def _searched(problem: Problem, known: list[Answer], limit: Limit, seed: int) -> Iterator[Ints]:
    """Rounds by exchanges: all of them free; and with a table that has too few rounds, only those it lacks."""
    ground = ground_of(problem)
    starts, steps = _starts(problem, known, seed), _steps(problem, EXCHANGES, limit, ground)
    shorter = _shorter(problem)
    if shorter is not None:
        begun, lot = starts.copy(), np.random.default_rng([seed, 2])
        for chain in begun:
            chain[: len(shorter)] = shorter[:, lot.permutation(len(problem.ids))]
        yield searched(ground, begun, steps // 3, seed, len(shorter))
    yield searched(ground, starts, steps, seed)


def _starts(problem: Problem, known: list[Answer], seed: int) -> Ints:
    """Chains to begin from: what is known, and rounds by lot, but for children who must be together."""
    lot = np.random.default_rng([seed, 1])
    by_size = np.repeat(np.arange(problem.groups), problem.sizes)
    chains = np.stack([np.stack([lot.permutation(by_size) for _ in range(problem.rounds)]) for _ in range(CHAINS)])
    for at, answer in enumerate([*known, *(known[-1:] * (CHAINS - len(known)) if problem.held else [])]):
        for turn, groups in enumerate(sorted(each, key=len, reverse=True) for each in answer.rounds):
            seat = {child: number for number, group in enumerate(groups) for child in group}
            chains[at, turn] = [seat[child] for child in problem.ids]
    return chains


def _shorter(problem: Problem) -> Ints | None:
    """The longest table that has fewer rounds than are asked; only for groups of one size, which need no order."""
    if len(set(problem.sizes)) > 1 or problem.aim is Aim.FAIR:
        return None
    fewer = (table_for(replace(problem, rounds=rounds)) for rounds in range(problem.rounds - 1, 1, -1))
    return next((table for table in fewer if table is not None), None)


def trade(problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0) -> tuple[Outcome[Answer], Outcome[Answer]]:
    """Both ends: nobody meets twice and then fair; every round fair and then few meetings twice."""
    mixed = solve(replace(problem, aim=Aim.MIX), limit=limit, seed=seed)
    return mixed, solve(replace(problem, aim=Aim.FAIR), limit=limit, seed=seed, start=mixed.answer)
