"""A running plan when one child leaves and two come: how soon, and whether fewer moves are ruled out."""

from __future__ import annotations

from dataclasses import replace

from clubapp.desk.bench.effort import Effort, middle, timed
from clubapp.desk.bench.rows import Row
from clubapp.desk.bench.squads import ruled, squad
from clubapp.desk.bench.turns import problem as rotation_problem
from clubapp.engine import groups as engine_groups
from clubapp.engine import repair as engine_repair
from clubapp.engine import rotation as engine_rotation
from clubapp.engine import timetable as engine_timetable
from clubapp.engine.outcome import Status

CHILDREN, GROUPS, LATE = 24, 6, 2
IN_TIME_S = 0.5


def running(seed: int) -> engine_repair.Problem:
    """A plan in its second round."""
    asked, turns = ruled(CHILDREN, GROUPS, seed), rotation_problem(GROUPS, seed)
    here, late = asked.athletes, squad(CHILDREN + LATE, seed)[CHILDREN:]
    rules = replace(asked, athletes=(*here, *late))
    cut, way = engine_groups.solve(asked, seed=seed).answer, engine_rotation.solve(turns, seed=seed).answer
    hours = engine_timetable.solve(engine_timetable.Problem(45, GROUPS, None, None)).answer
    assert cut is not None
    assert way is not None
    assert hours is not None
    came = tuple(engine_repair.Late(child.id) for child in late)
    return engine_repair.Problem(
        rules, cut, turns, way, hours, at_round=2, changes=(engine_repair.Left(here[seed % CHILDREN].id), *came)
    )


def row(effort: Effort) -> Row:
    done = [timed(lambda: engine_repair.solve(problem)) for problem in map(running, effort.seeds)]  # noqa: B023
    return Row(
        "repair 24: one leaves, two come",
        "the proof of fewest moves",
        {
            "instances": len(done),
            "seconds_median": middle(seconds for _, seconds in done),
            "seconds_worst": max(seconds for _, seconds in done),
            "within_0.5_s": sum(seconds <= IN_TIME_S for _, seconds in done),
            "proven": sum(outcome.status is Status.BEST for outcome, _ in done),
            "moved_most": max(len(outcome.answer.moves) for outcome, _ in done if outcome.answer),
        },
    )
