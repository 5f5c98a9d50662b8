"""Fair groups. Problem, Answer, solve, score and violations; see groups_problem for what they hold.

EVEN minimises the fairness score, LIKE the deviation of ability left inside the groups.
"""

from __future__ import annotations

import random

from clubapp.engine import limits
from clubapp.engine.groups_plain import baselines, count_off, serpentine
from clubapp.engine.groups_problem import BALANCE, Answer, Mode, Problem, company, score
from clubapp.engine.groups_rules import reasons, violations, without
from clubapp.engine.limits import Limit, Stopwatch
from clubapp.engine.outcome import Outcome, Reason, Status

__all__ = [
    "BALANCE",
    "Answer",
    "Mode",
    "Problem",
    "company",
    "count_off",
    "name_order",
    "reasons",
    "score",
    "serpentine",
    "solve",
    "suggest_group_count",
    "violations",
    "without",
]


def solve(
    problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0, start: Answer | None = None
) -> Outcome[Answer]:
    """The fairest groups that keep the rules. start: groups to begin from, last week's for instance."""
    watch = Stopwatch()
    starts = [*baselines(problem), *([start] if start else [])]
    kept = [answer for answer in starts if not violations(problem, answer)]
    if not kept:
        return Outcome(None, Status.IMPOSSIBLE, 0.0, 0.0, watch.seconds, reasons(problem))
    best = min(kept, key=lambda answer: (score(problem, answer), company(problem, answer)))
    return Outcome(best, Status.SIMPLE, score(problem, best), 0.0, watch.seconds)


def rule_costs(
    problem: Problem, outcome: Outcome[Answer], *, limit: Limit = limits.QUICK, seed: int = 0
) -> tuple[tuple[Reason, float], ...]:
    """What each rule cost in fairness: how much better the groups would be without it."""
    costs: list[tuple[Reason, float]] = []
    for rule in reasons(problem):
        freed = solve(without(problem, rule), limit=limit, seed=seed, start=outcome.answer)
        costs.append((rule, max(0.0, outcome.score - freed.score)))
    return tuple(costs)


def suggest_group_count(children: int, stations: int, adults: int) -> int:
    """How many groups suit the evening: four to six children each, no group without a station or an adult if it can be.

    Never more than eight children to a group, never fewer than three unless there are fewer children.
    """
    fewest, most = max(1, -(-children // 8)), max(1, children // 3)
    wish = max(1, round(children / 5))
    for limit in (stations, adults):
        wish = min(wish, limit) if limit > 0 else wish
    return max(fewest, min(most, wish))


def name_order(groups: int, seed: int) -> tuple[int, ...]:
    """Which bib each group wears: a permutation of the bibs by lot, so that a colour says nothing on ability."""
    order = list(range(groups))
    random.Random(f"bibs {seed}").shuffle(order)
    return tuple(order)
