"""Rotations with hard stations and walking, against longer search."""

from __future__ import annotations

import random
from functools import partial

from clubapp.desk.bench.effort import Effort, longer, middle, over, worked
from clubapp.desk.bench.rows import Row
from clubapp.engine import rotation as engine_rotation
from clubapp.engine.limits import Limit
from clubapp.engine.outcome import Outcome, Status
from clubapp.engine.words import Station, bib_names

MOST_HARD = 2  # hard stations one after the other
IN_TIME_S = 1.0
NEAR, NEAR_IN_S = 1.02, 3.0  # times the best, and by when, whether it is proven or not
LENGTH_M, WIDTH_M = 60.0, 40.0


def problem(size: int, seed: int) -> engine_rotation.Problem:
    """As many groups and rounds as stations, which lie anywhere on the field; half of them are hard."""
    lot = random.Random(f"field {seed}")
    hard = set(lot.sample(range(size), size // 2))
    stations = tuple(
        Station(f"S{at}", round(lot.uniform(0, LENGTH_M), 1), round(lot.uniform(0, WIDTH_M), 1), hard=at in hard)
        for at in range(size)
    )
    return engine_rotation.Problem(bib_names(size), stations, size, max_hard_run=MOST_HARD)


def row(size: int, effort: Effort) -> Row:
    """What was reached in time goes by the processor's seconds, which other work does not lengthen."""
    found, ratios, seconds = [], [], []
    for seed in effort.seeds:
        asked = problem(size, seed)
        outcome, cpu = worked(partial(engine_rotation.solve, asked, seed=seed))
        found.append(outcome)
        seconds.append(cpu)
        ratios.append(over(outcome.score, best(asked, outcome, f"rotation {size}, seed {seed}", effort)))
    return Row(
        f"rotation {size} x {size} x {size}",
        f"proof, or {effort.minutes:g} min of search",
        {
            "instances": len(found),
            "proven": sum(outcome.status is Status.BEST for outcome in found),
            "proven_within_1_s": sum(
                o.status is Status.BEST and cpu <= IN_TIME_S for o, cpu in zip(found, seconds, strict=True)
            ),
            "within_1.02_of_best_in_3_s": sum(
                ratio <= NEAR and cpu <= NEAR_IN_S for ratio, cpu in zip(ratios, seconds, strict=True)
            ),
            "seconds_median": middle(outcome.seconds for outcome in found),
            "seconds_worst": max(outcome.seconds for outcome in found),
            "processor_seconds_worst": max(seconds),
            "walking_over_best_worst": max(ratios),
        },
    )


def best(asked: engine_rotation.Problem, known: Outcome[engine_rotation.Answer], name: str, effort: Effort) -> float:
    if known.status is Status.BEST:
        return known.score
    limit = Limit(deterministic=24.0)
    return longer(effort, name, known.score, lambda seed: engine_rotation.solve(asked, limit=limit, seed=seed).score)
