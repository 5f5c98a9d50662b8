"""Fair groups. Problem, Answer, solve, score and violations; see groups_problem for what they hold.

EVEN minimises the fairness score, LIKE the deviation of ability left inside the groups. The plain methods first, then
a swap search, then every group that could be part of a better answer, put together in all ways: the proof.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from clubapp.engine import limits
from clubapp.engine.groups_bound import arithmetic_bound, bands_bound
from clubapp.engine.groups_columns import choices, too_many, whole
from clubapp.engine.groups_even import evened
from clubapp.engine.groups_exact import best_company, best_partition
from clubapp.engine.groups_ground import group_marks, total
from clubapp.engine.groups_model import keep_rules, obvious
from clubapp.engine.groups_plain import baselines, count_off, serpentine
from clubapp.engine.groups_problem import BALANCE, Answer, Mode, Problem, company, score
from clubapp.engine.groups_rules import reasons, violations, without
from clubapp.engine.groups_search import annealed, banded, kinder, seated, touched_up
from clubapp.engine.groups_table import Ints, Table, table
from clubapp.engine.limits import Allowance, Limit, Stopwatch
from clubapp.engine.outcome import Outcome, Reason, Status

__all__ = [
    "BALANCE",
    "Answer",
    "Mode",
    "Problem",
    "RuleCost",
    "company",
    "count_off",
    "name_order",
    "reasons",
    "rule_costs",
    "score",
    "serpentine",
    "solve",
    "suggest_group_count",
    "violations",
    "without",
]

MANY = 1_000_000  # sets of children above which groups are sought by boxes first
NEAR = 1.1  # times the bound: nearer to it many children need not be split
CLOSE = 1e-6  # a bound this near to the score is the score: what summing in another order may change


@dataclass(frozen=True)
class RuleCost:
    """cost: how much better the score is without the rule. proven: whether both scores are the best there are.

    freed: the answer without the rule.
    """

    rule: Reason
    cost: float
    proven: bool
    freed: Answer


@dataclass(frozen=True)
class _How:
    """plain: the score of the best plain answer that keeps the rules."""

    limit: Limit
    seed: int
    watch: Stopwatch
    plain: float = math.inf


def solve(
    problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0, start: Answer | None = None
) -> Outcome[Answer]:
    """The fairest groups that keep the rules. start: groups to begin from, last week's for instance."""
    watch = Stopwatch()
    if why := obvious(problem):
        return _impossible(why, watch)
    starts = [*baselines(problem), *([start] if start and set(_members(start)) == set(problem.ids) else [])]
    plain = kept = [answer for answer in starts if not violations(problem, answer)]
    if any(not 0 <= index < problem.groups for child, index in problem.locks if child in problem.ids):
        return _from_rules(problem, limit, seed, watch)
    rows = table(problem)
    found = rows.answer(annealed(rows, starts, limit, seed))
    kept = [*kept, found] if not violations(problem, found) else kept
    if kept:
        best = min(kept, key=lambda answer: _rank(problem, answer))
        return _improved(
            rows, best, _How(limit, seed, watch, min((score(problem, a) for a in plain), default=math.inf))
        )
    return _from_rules(problem, limit, seed, watch)


def _members(answer: Answer) -> list[str]:
    return [child for group in answer.groups for child in group]


def _rank(problem: Problem, answer: Answer) -> tuple[float, float]:
    return score(problem, answer), company(problem, answer)


def _impossible(why: tuple[Reason, ...], watch: Stopwatch) -> Outcome[Answer]:
    return Outcome(None, Status.IMPOSSIBLE, 0.0, 0.0, watch.seconds, why)


def _from_rules(problem: Problem, limit: Limit, seed: int, watch: Stopwatch) -> Outcome[Answer]:
    """Where searching found nothing: the solver says whether there is anything."""
    kept = keep_rules(problem, limit, seed)
    if isinstance(kept, Answer):
        rows = table(problem)
        found = rows.answer(annealed(rows, [kept], limit, seed))
        better = not violations(problem, found) and score(problem, found) < score(problem, kept)
        return _improved(rows, found if better else kept, _How(limit, seed, watch))
    return _impossible(kept or (Reason("time", "No groups that keep every rule were found in the time given."),), watch)


def _improved(rows: Table, best: Answer, how: _How) -> Outcome[Answer]:
    """The best answer from here, the proof or a bound, and the groups' numbers by lot."""
    limit, seed, watch = how.limit, how.seed, how.watch
    seats, bound = _searched(rows, rows.seats(best), limit, seed)
    answer = _renumbered(rows, _in_new_company(rows, seats, limit, seed), seed)
    worth = score(rows.problem, answer)
    if worth <= bound + CLOSE:
        return Outcome(answer, Status.BEST, worth, worth, watch.seconds)
    status = Status.SIMPLE if worth > how.plain - CLOSE else Status.GOOD
    return Outcome(answer, status, worth, bound, watch.seconds)


def _searched(rows: Table, seats: Ints, limit: Limit, seed: int) -> tuple[Ints, float]:
    """Better seats, and a bound on the score."""
    part, now = whole(rows, _sizes(rows, seats)), total(rows, group_marks(rows, seats))
    bound = _closed_bound(rows, part.sizes)
    if rows.problem.groups == 1 or rows.as_score(now) <= bound + CLOSE:
        return seats, rows.as_score(now)
    allowance = Allowance(limit)
    allowance.reached(rows.as_score(now))
    allowance.proved(bound)
    if rows.problem.mode is Mode.EVEN and choices(len(seats), part.sizes) > MANY:
        seats, best = evened(rows, seats, limit, seed, NEAR * bound)
        if best or too_many(part):
            return seats, rows.as_score(total(rows, group_marks(rows, seats))) if best else bound
    if too_many(part):
        return banded(rows, seats, limit, seed), bound
    seats = touched_up(rows, seats, seed)
    found = best_partition(rows, part, total(rows, group_marks(rows, seats)), allowance)
    seats = seats if found.groups is None else seated(rows, part, found.groups, seats)
    return seats, max(bound, rows.as_score(found.bound))


def _in_new_company(rows: Table, seats: Ints, limit: Limit, seed: int) -> Ints:
    """Seats with the same score and the fewest pairs who were together before."""
    if not rows.met.any():
        return seats
    seats = kinder(rows, seats, seed)
    part = whole(rows, _sizes(rows, seats))
    if too_many(part):
        return seats
    found = best_company(rows, part, total(rows, group_marks(rows, seats)), Allowance(limit, 0.25))
    return seats if found is None else seated(rows, part, found, seats)


def _sizes(rows: Table, seats: Ints) -> list[int]:
    return [int(size) for size in np.bincount(seats, minlength=rows.problem.groups)]


def _closed_bound(rows: Table, sizes: tuple[int, ...]) -> float:
    """A bound on the score that needs no search."""
    if rows.problem.mode is Mode.EVEN:
        return arithmetic_bound(rows.problem, sizes)
    return rows.as_score(bands_bound(tuple(map(float, rows.values[:, 0])), sizes))


def _renumbered(rows: Table, seats: Ints, seed: int) -> Answer:
    """Groups without a lock change numbers by lot, those of one size where sizes are given: a number tells nothing."""
    problem, lot = rows.problem, random.Random(f"numbers {seed}")
    sizes = problem.sizes or (0,) * problem.groups
    number = list(range(problem.groups))
    for size in sorted(set(sizes)):
        free = [g for g in number if sizes[g] == size and g not in rows.locked]
        drawn = lot.sample(free, len(free))
        number = [drawn[free.index(g)] if g in free else n for g, n in enumerate(number)]
    return rows.answer(np.array(number)[seats])


def rule_costs(
    problem: Problem,
    outcome: Outcome[Answer],
    *,
    limit: Limit = limits.QUICK,
    seed: int = 0,
    rules: Sequence[Reason] | None = None,
) -> tuple[RuleCost, ...]:
    """What each rule cost in fairness: how much better groups would be without it. rules: all of reasons(problem)."""
    costs: list[RuleCost] = []
    asked = reasons(problem) if rules is None else rules
    if outcome.answer is None:
        return ()
    for rule in asked:
        freed = solve(without(problem, rule), limit=limit, seed=seed, start=outcome.answer)
        proven = outcome.status is freed.status is Status.BEST
        costs.append(RuleCost(rule, max(0.0, outcome.score - freed.score), proven, freed.answer or outcome.answer))
    return tuple(costs)


def suggest_group_count(children: int, stations: int, adults: int) -> int:
    """How many groups suit the evening: about five children each, no group without a station or an adult if it can be.

    Never more than eight children to a group, never fewer than three unless there are fewer children.
    """
    fewest, most = max(1, -(-children // 8)), max(1, children // 3)
    wish = max(1, round(children / 5))
    for there in (stations, adults):
        wish = min(wish, there) if there > 0 else wish
    return max(fewest, min(most, wish))


def name_order(groups: int, seed: int) -> tuple[int, ...]:
    """Which bib each group wears: a permutation of the bibs by lot, so that a colour tells nothing on ability."""
    order = list(range(groups))
    random.Random(f"bibs {seed}").shuffle(order)
    return tuple(order)
