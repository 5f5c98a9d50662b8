"""Groups of a big day, against longer search and against splits by lot."""

from __future__ import annotations

import random
from functools import partial

from clubapp.desk.bench.effort import Effort, middle, over, over_best, worked
from clubapp.desk.bench.rows import Row
from clubapp.desk.bench.small import searched
from clubapp.desk.bench.squads import ruled
from clubapp.engine import groups as engine_groups

SIZES = ((48, 8), (120, 20), (240, 24))
SPLITS = 1000
GOAL = 1.3  # times the best that longer search finds


def row(children: int, groups: int, effort: Effort) -> Row:
    """Never on a machine where the longer search found less than the short one."""
    seconds, over_longer, over_lot, bounds = [], [], [], []
    for seed in effort.seeds:
        problem = ruled(children, groups, seed)
        found, cpu = worked(partial(engine_groups.solve, problem, seed=seed))
        seconds.append((found.seconds, cpu))
        search = partial(searched, f"groups {children} x {groups}, seed {seed}", problem, found, effort)
        over_longer.append(over_best(found, GOAL, search))
        over_lot.append(over(found.score, best_by_lot(problem, seed)))
        bounds.append(found.bound / found.score if found.score else 1.0)
    return Row(
        f"groups {children} x {groups}",
        f"a bound within {GOAL}, else {effort.minutes:g} min of search; the best of {SPLITS} splits by lot",
        {
            "instances": effort.instances,
            "seconds_median": middle(wall for wall, _ in seconds),
            "seconds_worst": max(wall for wall, _ in seconds),
            "processor_seconds_worst": max(cpu for _, cpu in seconds),
            "proven_within_1.3": sum(proven for _, proven in over_longer),
            "score_over_best_median": middle(ratio for ratio, _ in over_longer),
            "score_over_best_worst": max(ratio for ratio, _ in over_longer),
            "score_over_best_by_lot_median": middle(over_lot),
            "score_over_best_by_lot_worst": max(over_lot),
            "bound_over_score_median": middle(bounds),
        },
    )


def best_by_lot(problem: engine_groups.Problem, seed: int) -> float:
    """Splits into groups as equal as can be; rules are not looked at, which flatters them."""
    lot, ids = random.Random(f"splits {seed}"), list(problem.ids)

    def split() -> engine_groups.Answer:
        lot.shuffle(ids)
        return engine_groups.Answer.of([ids[at :: problem.groups] for at in range(problem.groups)])

    return min(engine_groups.score(problem, split()) for _ in range(SPLITS))
