"""Rows ⇄ the engine's dataclasses. Children are their ids as text, groups their index as text."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Any
from uuid import UUID

from clubapp.engine import fairness as engine_fairness
from clubapp.engine import groups as engine_groups
from clubapp.engine import rotation as engine_rotation
from clubapp.engine import timetable as engine_timetable
from clubapp.engine import words
from clubapp.people.models import Athlete
from clubapp.planning.models import Station
from clubapp.rotation.evening import Evening, Rule
from clubapp.rotation.queries import PlanView
from clubapp.rotation.wishes import Wishes

WALK_M_S = 1.2  # children with a leader, unhurried


def engine_athlete(child: Athlete, evening: Evening) -> words.Athlete:
    values = {"speed_s": evening.speeds.get(child.pk), "skill": child.skill}
    kinds = {f"sex:{child.sex}"} if child.sex else set()
    if child.pk in evening.first_timers:
        kinds.add("first_timer:yes")
    return words.Athlete(
        id=str(child.pk),
        values={name: float(value) for name, value in values.items() if value is not None},
        kinds=frozenset(kinds),
        born=child.born,
    )


def groups_problem(
    evening: Evening,
    wishes: Wishes,
    *,
    locked: Mapping[UUID, int] | None = None,
    sizes: tuple[int, ...] | None = None,
    names: Mapping[UUID, str] | None = None,
) -> engine_groups.Problem:
    """The children here and the rules that count today. locked: child -> group index."""
    fixed = {child: group for child, group in (locked or {}).items() if f"lock:{child}" not in wishes.dropped}
    return engine_groups.Problem(
        athletes=tuple(engine_athlete(child, evening) for child in evening.children),
        on=evening.session.date,
        groups=wishes.groups,
        sizes=sizes,
        balance=tuple(engine_fairness.Attribute(name) for name in wishes.balance),
        together=_pairs(evening.rules, wishes, together=True),
        apart=_pairs(evening.rules, wishes, together=False),
        not_alone=wishes.kinds,
        within_years=wishes.years,
        largest_age_gap_years=wishes.age_gap,
        guided=wishes.guides,
        mode=engine_groups.Mode(wishes.mode),
        met={},
        locks=tuple(sorted((str(child), group) for child, group in fixed.items() if child in evening.here)),
        excused=frozenset(token.removeprefix("within:") for token in wishes.dropped if token.startswith("within:")),
        names={str(child): name for child, name in (names or {}).items()},
    )


def _pairs(rules: Iterable[Rule], wishes: Wishes, *, together: bool) -> tuple[frozenset[str], ...]:
    return tuple(
        frozenset(str(child) for child in rule.athletes)
        for rule in rules
        if rule.together == together and f"pair:{rule.id}" not in wishes.dropped
    )


def groups_answer(evening: Evening, plan: PlanView) -> engine_groups.Answer:
    """The plan's groups as far as their children are here."""
    return engine_groups.Answer.of(
        [[str(child) for child in group.athletes if child in evening.here] for group in plan.groups]
    )


def engine_station(station: Station, wishes: Wishes) -> words.Station:
    alone = f"alone:{station.pk}" in wishes.dropped
    return words.Station(
        id=str(station.pk),
        x_m=station.x_m,
        y_m=station.y_m,
        hard=station.intensity == Station.Intensity.HARD,
        groups_min=min(1, station.groups_min) if alone else station.groups_min,
        groups_max=station.groups_max,
        kit=station.kit,
    )


def rotation_problem(evening: Evening, wishes: Wishes) -> engine_rotation.Problem:
    return engine_rotation.Problem(
        groups=tuple(str(index) for index in range(wishes.groups)),
        stations=tuple(engine_station(station, wishes) for station in evening.stations),
        rounds=wishes.rounds,
        max_hard_run=wishes.most_hard,
        staffed=wishes.staffed,
        balanced_succession=wishes.succession,
        may_rest="rest" in wishes.dropped,
        names={str(station.pk): station.name for station in evening.stations},
    )


def rounds_of(problem: engine_rotation.Problem, answer: engine_rotation.Answer) -> list[list[str | None]]:
    """Where each group is in each round, by group index: the form in which a plan is stored."""
    turns = range(1, problem.rounds + 1)
    return [[answer.station_of(group, turn) for group in problem.groups] for turn in turns]


def timetable_problem(
    evening: Evening, wishes: Wishes, rounds: Sequence[Sequence[str | None]]
) -> engine_timetable.Problem:
    return engine_timetable.Problem(
        minutes=evening.minutes,
        rounds=wishes.rounds,
        work_s=wishes.work_s,
        change_s=wishes.change_s,
        walks_m=longest_walks(evening.stations, rounds),
        walk_m_s=WALK_M_S,
    )


def longest_walks(stations: Iterable[Station], rounds: Sequence[Sequence[str | None]]) -> tuple[float, ...]:
    """For each change-over the metres of the group that has farthest to go; 0 where no place is known."""
    places = {str(s.pk): (s.x_m, s.y_m) for s in stations if s.x_m is not None and s.y_m is not None}

    def metres(here: str | None, there: str | None) -> float:
        return math.dist(places[here], places[there]) if here in places and there in places else 0.0

    return tuple(
        max((metres(here, there) for here, there in zip(before, after, strict=True)), default=0.0)
        for before, after in pairwise(rounds)
    )


def entries(answer: engine_timetable.Answer) -> list[dict[str, Any]]:
    return [{"kind": str(e.kind), "seconds": e.seconds, "round": e.round} for e in answer.entries]
