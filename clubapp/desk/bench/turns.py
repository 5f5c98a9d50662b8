"""Rotations with hard stations and walking, against longer search."""

from __future__ import annotations

import random

from clubapp.desk.bench.effort import Effort, longer, middle, over
from clubapp.desk.bench.rows import Row
from clubapp.engine import rotation as engine_rotation
from clubapp.engine.limits import Limit
from clubapp.engine.outcome import Outcome, Status
from clubapp.engine.words import Station, bib_names

MOST_HARD = 2  # hard stations one after the other
IN_TIME_S = 1.0
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
    found, ratios = [], []
    for seed in effort.seeds:
        asked = problem(size, seed)
        outcome = engine_rotation.solve(asked, seed=seed)
        found.append(outcome)
        ratios.append(over(outcome.score, best(asked, outcome, f"rotation {size}, seed {seed}", effort)))
    return Row(
        f"rotation {size} x {size} x {size}",
        f"proof, or {effort.minutes:g} min of search",
        {
            "instances": len(found),
            "proven": sum(outcome.status is Status.BEST for outcome in found),
            "proven_within_1_s": sum(o.status is Status.BEST and o.seconds <= IN_TIME_S for o in found),
            "seconds_median": middle(outcome.seconds for outcome in found),
            "seconds_worst": max(outcome.seconds for outcome in found),
            "walking_over_best_worst": max(ratios),
        },
    )


def best(asked: engine_rotation.Problem, known: Outcome[engine_rotation.Answer], name: str, effort: Effort) -> float:
    if known.status is Status.BEST:
        return known.score
    limit = Limit(deterministic=24.0)
    return longer(effort, name, known.score, lambda seed: engine_rotation.solve(asked, limit=limit, seed=seed).score)
