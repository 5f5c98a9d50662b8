"""Field plans: how far round the stations, against set-ups side by side on shelves, and how far at least."""

from __future__ import annotations

import random
from functools import partial

from clubapp.desk.bench.effort import Effort, middle, timed
from clubapp.desk.bench.rows import Row
from clubapp.engine import layout
from clubapp.engine.limits import Limit

STATIONS, THINK = 6, Limit(deterministic=0.4)  # as a field plan's page thinks
MEADOW = layout.Ground(
    ((0, 0), (800, 0), (800, 600), (0, 600)), (layout.Box(0, 270, 20, 330),), water=(400, 590), first_aid=(400, 10)
)


def asked(seed: int) -> layout.Problem:
    """Six set-ups of the library's sizes, some with a run-out, one loud and one where children listen."""
    lot = random.Random(f"field {seed}")
    made = []
    for at in range(STATIONS):
        wide, long, run = lot.randrange(50, 130, 10), lot.randrange(80, 240, 10), lot.choice((0, 0, 30, 50, 180))
        made.append(layout.Station(f"s{at}", wide, long, (run, 0, 0, 0), loud=at == 0, hears=at == 1))
    return layout.Problem(MEADOW, tuple(made))


def row(effort: Effort) -> Row:
    """The first solve also brings the solver into memory, which is not the field's time."""
    layout.solve(asked(0), limit=THINK)
    found, shelves, bounds, seconds = [], [], [], []
    for seed in effort.seeds:
        problem = asked(seed)
        done, took = timed(partial(layout.solve, problem, limit=THINK, seed=seed))
        simple = layout.plain(problem)
        if done.answer is None or simple is None:
            continue
        assert layout.violations(problem, done.answer) == []
        found.append(done.score)
        shelves.append(layout.score(problem, simple))
        bounds.append(done.bound)
        seconds.append(took)
    figures: dict[str, float | int | str] = {"instances": len(found)}
    if found:
        figures |= {"metres_median": middle(found), "shelves_metres": middle(shelves), "bound_metres": middle(bounds)}
        figures |= {"seconds_median": middle(seconds), "seconds_worst": max(seconds)}
    return Row("Field plan, six stations on 80 by 60 m", "set-ups on shelves", figures)
