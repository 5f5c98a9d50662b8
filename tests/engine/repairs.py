"""Running plans for the tests, what may happen to them, and every answer there is for the groups."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from typing import Any

from hypothesis import strategies as st

from clubapp.engine import groups as engine_groups
from clubapp.engine import rotation as engine_rotation
from clubapp.engine import timetable as engine_timetable
from clubapp.engine import words
from clubapp.engine.groups_plain import serpentine
from clubapp.engine.limits import Limit
from clubapp.engine.repair import (
    AdultGone,
    Answer,
    Change,
    Closed,
    GoEasy,
    Late,
    Left,
    Lost,
    Merged,
    Problem,
    Way,
    solve,
)
from clubapp.engine.repair import score as whole_score
from clubapp.engine.repair import violations as all_violations
from clubapp.engine.repair_groups import score, violations
from tests.strategies import EVENING, children

NO_TIME = Limit(deterministic=1e-9)


def stations(count: int, groups_max: int = 1) -> tuple[words.Station, ...]:
    """In a row ten metres apart, every other one hard."""
    return tuple(
        words.Station(chr(65 + at), 10.0 * at, 0.0, hard=at % 2 == 0, groups_max=groups_max) for at in range(count)
    )


def running(count: int = 12, parts: int = 3, late: int = 0, seed: int = 0, **changed: Any) -> Problem:
    """A plan of children dealt like a snake, one station on every round, five minutes of work and one of change."""
    everybody = children(count + late, seed)
    asked = engine_groups.Problem(everybody[:count], EVENING, parts)
    cut = serpentine(asked)
    turns = engine_rotation.Problem(words.bib_names(parts), stations(4), 4)
    plan = Problem(
        rules=replace(asked, athletes=everybody),
        groups=cut,
        turns=turns,
        rotation=engine_rotation.plain(turns),
        hours=hours(4),
        at_round=2,
        changes=tuple(Late(athlete.id) for athlete in everybody[count:]),
    )
    return replace(plan, **changed)


def hours(rounds: int, work_s: int = 300) -> engine_timetable.Answer:
    asked = engine_timetable.Problem(None, rounds, work_s, 60, water_every_s=1000, gather_s=300, cool_down_s=120)
    return engine_timetable.plain(asked, work_s)


def with_changes(problem: Problem, *changes: Change) -> Problem:
    return replace(problem, changes=(*problem.changes, *changes))


def every_groups(problem: Problem) -> Iterator[engine_groups.Answer]:
    """All groups that keep the rules."""
    ids = problem.here.ids
    for seats in product(range(problem.rules.groups), repeat=len(ids)):
        groups: list[list[str]] = [[] for _ in range(problem.rules.groups)]
        for child, seat in zip(ids, seats, strict=True):
            groups[seat].append(child)
        answer = engine_groups.Answer.of(groups)
        if not violations(problem, answer):
            yield answer


def scores(problem: Problem) -> list[float]:
    """What every answer scores, the best first."""
    return sorted(score(problem, answer) for answer in every_groups(problem))


@st.composite
def problems(draw: st.DrawFn, most: int = 7) -> Problem:
    """Small plans to which all kinds of things happen, with all kinds of rules."""
    count, late = draw(st.integers(4, most - 1)), draw(st.integers(0, 2))
    parts = draw(st.integers(2, 3))
    plan = running(min(count, most - late), parts, late, draw(st.integers(0, 99)), at_round=draw(st.integers(1, 4)))
    lot = random.Random(draw(st.integers(0, 10**6)))
    plan = replace(plan, rules=_ruled(draw, plan, lot))
    plan = with_changes(plan, *_happened(draw, plan, lot))
    shut = draw(st.frozensets(st.integers(0, parts - 1), max_size=1))
    return replace(plan, shut=shut, uneven=draw(st.integers(1, 2)), way=draw(st.none() | st.sampled_from(Way)))


def _ruled(draw: st.DrawFn, plan: Problem, lot: random.Random) -> engine_groups.Problem:
    ids = list(plan.rules.ids)
    pairs = [frozenset(lot.sample(ids, 2)) for _ in range(draw(st.integers(0, 2)))]
    child = lot.choice(ids)
    return replace(
        plan.rules,
        together=tuple(pairs[:1]),
        apart=tuple(pairs[1:]),
        not_alone=("sex:f",) if draw(st.booleans()) else (),
        locks=((child, plan.seat.get(child, 0)),) if draw(st.booleans()) else (),
    )


def _happened(draw: st.DrawFn, plan: Problem, lot: random.Random) -> Iterator[Change]:
    stays = sorted(plan.seat)
    gone = lot.sample(stays, draw(st.integers(0, 2)))
    yield from map(Left, gone)
    if draw(st.booleans()):
        yield GoEasy(lot.choice([child for child in stays if child not in gone]))
    if draw(st.booleans()):
        yield Closed(lot.choice("ABCD"), draw(st.none() | st.integers(plan.at_round, 4)))
    if draw(st.booleans()):
        yield AdultGone(lot.choice("ABCD"))
    if draw(st.integers(0, 3)) == 0:
        group = draw(st.integers(0, plan.rules.groups - 1))
        others = [g for g in range(plan.rules.groups) if g != group]
        yield Merged(group, draw(st.sampled_from([(), tuple(others[:1])])))
    if draw(st.booleans()):
        yield Lost(draw(st.integers(1, 900)))


def solved(problem: Problem) -> Answer:
    """The answer, which keeps everything."""
    done = solve(problem)
    assert done.answer is not None, done.reasons
    assert all_violations(problem, done.answer) == []
    assert done.score == whole_score(problem, done.answer)
    return done.answer


def group_of(answer: Answer, child: str) -> int:
    return next(index for index, group in enumerate(answer.groups.groups) if child in group)
