"""New groups each round: who meets whom, and how fair the least fair round is."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from functools import partial

from clubapp.desk.bench.effort import Effort, longer, middle, over, over_best, worked
from clubapp.desk.bench.groups import ON
from clubapp.desk.bench.rows import Row
from clubapp.desk.bench.squads import ruled, squad
from clubapp.engine import mixing as engine_mixing
from clubapp.engine.limits import Limit

PLACEMENTS = 1000
GOAL = 1.05  # times the best that longer search finds


def fours(effort: Effort) -> Row:
    """24 children in fours over 7 rounds."""
    seconds, over_longer, over_lot, mixes, other = [], [], [], [], []
    for seed in effort.seeds:
        problem = engine_mixing.Problem(squad(24, seed), ON, 6, 7)
        mixed, cpu = worked(partial(engine_mixing.solve, problem, seed=seed))
        fair = engine_mixing.solve(replace(problem, aim=engine_mixing.Aim.FAIR), seed=seed, start=mixed.answer)
        assert mixed.answer is not None
        assert fair.answer is not None
        met = engine_mixing.report(problem, mixed.answer)
        worst = max(met.fairness)
        seconds.append((mixed.seconds, cpu, fair.seconds))
        mixes.append((met, mixed.bound / mixed.score))
        instance = f"mixing 24 in fours x 7, seed {seed}"
        search = partial(longer, effort, instance, worst, partial(placed, problem))
        over_longer.append(over_best(mixed, GOAL, search))
        over_lot.append(over(worst, mean_by_lot(problem, mixed.answer, seed)))
        other.append(engine_mixing.report(problem, fair.answer))
    return Row(
        "mixing 24 in fours x 7",
        f"{effort.minutes:g} min of placement search, and the mean of {PLACEMENTS} placements by lot",
        {
            "instances": effort.instances,
            "seconds_worst": max(wall for wall, _, _ in seconds),
            "processor_seconds_worst": max(cpu for _, cpu, _ in seconds),
            "other_end_seconds_worst": max(other_end for _, _, other_end in seconds),
            "repeats_worst": max(met.repeats for met, _ in mixes),
            "others_met_least": min(met.least for met, _ in mixes),
            "others_met_most": max(met.most for met, _ in mixes),
            "bound_over_score_worst": min(bound for _, bound in mixes),
            "proven_within_1.05": sum(proven for _, proven in over_longer),
            "worst_round_over_best_worst": max(ratio for ratio, _ in over_longer),
            "worst_round_over_mean_by_lot_worst": max(over_lot),
            "fairest_rounds_repeats_median": middle(met.repeats for met in other),
            "fairest_rounds_worst_round_median": middle(max(met.fairness) for met in other),
        },
    )


def placed(problem: engine_mixing.Problem, seed: int) -> float:
    """The worst round without a meeting twice that one placement search finds."""
    found = engine_mixing.solve(problem, limit=Limit(deterministic=8.0), seed=seed)
    assert found.answer is not None
    met = engine_mixing.report(problem, found.answer)
    return max(met.fairness) if met.repeats == 0 else math.inf


def repeats(problem: engine_mixing.Problem, seed: int) -> float:
    """How many meet again in the answer of one long search."""
    found = engine_mixing.solve(problem, limit=Limit(deterministic=16.0), seed=seed)
    assert found.answer is not None
    return engine_mixing.report(problem, found.answer).repeats


def mean_by_lot(problem: engine_mixing.Problem, answer: engine_mixing.Answer, seed: int) -> float:
    """The worst round of the same table, the children taking its numbers by lot."""
    lot, ids, total = random.Random(f"placements {seed}"), list(problem.ids), 0.0
    for _ in range(PLACEMENTS):
        taken = dict(zip(problem.ids, lot.sample(ids, len(ids)), strict=True))
        rounds = tuple(tuple(tuple(taken[one] for one in group) for group in turn) for turn in answer.rounds)
        total += max(engine_mixing.report(problem, engine_mixing.Answer(rounds)).fairness)
    return total / PLACEMENTS


def with_rules(effort: Effort) -> Row:
    """24 children in fours over 7 rounds with the rules of an ordinary evening. Three pairs stay together: others must
    meet again, and how few times nobody has published.
    """
    found = []
    for seed in effort.seeds:
        rules = ruled(24, 6, seed)
        problem = engine_mixing.Problem(
            rules.athletes, ON, 6, 7, together=rules.together, apart=rules.apart, not_alone=rules.not_alone
        )
        done, cpu = worked(partial(engine_mixing.solve, problem, seed=seed))
        assert done.answer is not None
        assert engine_mixing.violations(problem, done.answer) == []
        met = engine_mixing.report(problem, done.answer)
        instance = f"mixing 24 in fours x 7, with rules, seed {seed}"
        found.append((met, done.seconds, cpu, longer(effort, instance, met.repeats, partial(repeats, problem))))
    return Row(
        "mixing 24 in fours x 7, with rules",
        f"{effort.minutes:g} min of search",
        {
            "instances": len(found),
            "repeats_median": middle(met.repeats for met, _, _, _ in found),
            "repeats_over_longer_search_worst": max(over(met.repeats, best) for met, _, _, best in found),
            "others_met_least": min(met.least for met, _, _, _ in found),
            "seconds_worst": max(seconds for _, seconds, _, _ in found),
            "processor_seconds_worst": max(cpu for _, _, cpu, _ in found),
        },
    )


def threes(effort: Effort) -> Row:
    """15 children in threes over 7 days: every pair once."""
    found = [engine_mixing.Problem(squad(15, seed), ON, 5, 7) for seed in effort.seeds]
    solved = [(problem, engine_mixing.solve(problem)) for problem in found]
    met = [engine_mixing.report(problem, done.answer) for problem, done in solved if done.answer]
    return Row(
        "mixing 15 in threes x 7",
        "every pair once",
        {
            "instances": len(found),
            "repeats_worst": max(one.repeats for one in met),
            "others_met_least": min(one.least for one in met),
            "seconds_worst": max(done.seconds for _, done in solved),
        },
    )
