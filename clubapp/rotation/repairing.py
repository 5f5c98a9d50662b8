"""From a running plan and what changed to the plans on offer: the best, a second, and each way with lost time."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any
from uuid import UUID

from clubapp.engine import groups as engine_groups
from clubapp.engine import repair as engine_repair
from clubapp.engine import rotation as engine_rotation
from clubapp.engine import timetable as engine_timetable
from clubapp.engine.outcome import Outcome, Reason
from clubapp.rotation import bridge
from clubapp.rotation.building import Clash, Draft
from clubapp.rotation.evening import Evening
from clubapp.rotation.queries import GroupView, PlanView
from clubapp.rotation.wishes import Wishes

Found = tuple[str, Outcome[engine_repair.Answer]]
BEST, SECOND, LONGER = "best", "second", "longer"


@dataclass(frozen=True)
class Changes:
    """What the coach says has happened, beside what the register knows already.

    closed: stations. adults: stations whose adult is gone. merged: index of a group that is given up; into: of the one
    that takes all its children, None = any. lost_s: seconds. late, left, easy: children of whom the register does not
    say so yet. dropped: rules left out for it, as in Wishes.dropped, and "shut:<group>" = a locked group may grow.
    """

    closed: tuple[UUID, ...] = ()
    adults: tuple[UUID, ...] = ()
    merged: int | None = None
    into: int | None = None
    lost_s: int = 0
    late: tuple[UUID, ...] = ()
    left: tuple[UUID, ...] = ()
    easy: tuple[UUID, ...] = ()
    dropped: tuple[str, ...] = ()


@dataclass(frozen=True)
class Case:
    """All that an answer depends on. evening: with the children of the plan who are gone. here: without them, and with
    those who are said to come late.
    """

    evening: Evening
    here: frozenset[UUID]
    plan: PlanView
    changes: Changes
    at_round: int
    names: Mapping[UUID, str]

    @property
    def late(self) -> list[UUID]:
        return sorted(self.here - self.plan.placed)

    @property
    def gone(self) -> list[UUID]:
        return sorted(self.plan.placed - self.here)

    @property
    def easy(self) -> list[UUID]:
        """Children said to go easy who are here and in a group."""
        return sorted(set(self.changes.easy) & self.here & self.plan.placed)

    @property
    def nothing(self) -> bool:
        """Whether there is nothing to do."""
        return not (self.late or self.gone or self.moves_on or self.easy or self.changes.lost_s)

    @property
    def moves_on(self) -> bool:
        """Whether stations or whole groups are concerned."""
        return bool(self.changes.closed or self.changes.adults) or self.changes.merged is not None


@dataclass(frozen=True)
class Offer:
    """One plan the coach may take. key: "best", "second" or a way with lost time. draft: as it would be stored."""

    key: str
    answer: engine_repair.Answer
    draft: Draft

    @property
    def mark(self) -> str:
        """Tells this plan from any other, so that what is taken is what was shown."""
        text = json.dumps(self.draft.answer, sort_keys=True)
        return hashlib.sha256(text.encode()).hexdigest()[:16]


def is_stale(evening: Evening, plan: PlanView) -> bool:
    """Whether a station of the plan is not there any more: then only new groups help."""
    return not {at for row in plan.rounds for at in row if at} <= {station.pk for station in evening.stations}


def offers(case: Case) -> tuple[Offer, ...] | Clash:
    """The plans to choose from, the best first; or the rules that clash."""
    problem = problem_of(case)
    best = engine_repair.solve(problem, seed=case.plan.seed)
    if best.answer is None:
        return Clash(best.reasons)
    found = [(BEST, best), *_others(case, problem, best.answer), *_ways(problem, best.answer)]
    return tuple(_offer(case, key, outcome, outcome.answer) for key, outcome in found if outcome.answer is not None)


def _others(case: Case, problem: engine_repair.Problem, best: engine_repair.Answer) -> Iterator[Found]:
    only_time = not (case.late or case.gone or case.moves_on)
    second = None if only_time else engine_repair.second_best(problem, best, seed=case.plan.seed)
    if second is not None:
        yield SECOND, second


def _ways(problem: engine_repair.Problem, best: engine_repair.Answer) -> Iterator[Found]:
    """What else may be done about lost time; the time a dropped round frees can go to the others."""
    for way, other in engine_repair.ways(problem, best):
        if way is not best.way:
            yield str(way), other
        if longer := engine_repair.longer(problem, other):
            yield LONGER, longer


def all_rules(case: Case) -> list[Reason]:
    """Every rule that counts for the children who are here."""
    return list(engine_groups.reasons(problem_of(case).here))


def problem_of(case: Case) -> engine_repair.Problem:
    """The engine's view. Rules that the plan broke before, by the coach's own hand, are not held against it."""
    plan, wishes = case.plan, _wishes(case)
    running = engine_groups.Answer.of([[str(child) for child in group.athletes] for group in plan.groups])
    rules = bridge.groups_problem(case.evening, wishes, locked=_locked(plan), names=case.names)
    turns = replace(bridge.rotation_problem(case.evening, wishes), names=_station_names(case))
    return engine_repair.Problem(
        rules=_as_kept(rules, running, case),
        groups=running,
        turns=turns,
        rotation=_rotation(turns, plan),
        hours=_hours(plan),
        at_round=case.at_round,
        changes=tuple(_changes(case)),
        shut=frozenset(group.index for group in plan.groups if _is_shut(case, group.index)),
        walk_m_s=bridge.WALK_M_S,
    )


def _wishes(case: Case) -> Wishes:
    plan = case.plan
    dropped = tuple(sorted({*plan.wishes.dropped, *case.changes.dropped}))
    return replace(plan.wishes, groups=len(plan.groups), rounds=len(plan.rounds), dropped=dropped)


def _is_shut(case: Case, index: int) -> bool:
    return f"group:{index}" in case.plan.locked and f"shut:{index}" not in case.changes.dropped


def _station_names(case: Case) -> dict[str, str]:
    return {
        **{str(station.pk): station.name for station in case.evening.stations},
        **{str(group.index): group.bib for group in case.plan.groups},
    }


def _locked(plan: PlanView) -> dict[UUID, int]:
    """Children who stay where they are: locked themselves, or in a locked group."""
    return {
        child: group.index
        for group in plan.groups
        for child in group.athletes
        if plan.locked & {f"athlete:{child}", f"group:{group.index}"}
    }


def _as_kept(rules: engine_groups.Problem, running: engine_groups.Answer, case: Case) -> engine_groups.Problem:
    standing = tuple(athlete for athlete in rules.athletes if UUID(athlete.id) in case.plan.placed)
    before = replace(rules, athletes=standing, sizes=tuple(len(group) for group in running.groups))
    broken = set(engine_groups.violations(before, running))
    for rule in engine_groups.reasons(before):
        rules = engine_groups.without(rules, rule) if rule.text in broken else rules
    return rules


def _rotation(turns: engine_rotation.Problem, plan: PlanView) -> engine_rotation.Answer:
    rows = [[str(at) if at else None for at in row] for row in plan.rounds]
    return engine_rotation.Answer(tuple(tuple(zip(turns.groups, row, strict=True)) for row in rows))


def _hours(plan: PlanView) -> engine_timetable.Answer:
    kinds = engine_timetable.Kind
    return engine_timetable.Answer(
        tuple(engine_timetable.Entry(kinds(part.kind), part.seconds, part.round) for part in plan.timetable)
    )


def _changes(case: Case) -> Iterator[engine_repair.Change]:
    yield from (engine_repair.Left(str(child)) for child in case.gone)
    yield from (engine_repair.Late(str(child)) for child in case.late)
    yield from (engine_repair.GoEasy(str(child)) for child in case.easy)
    yield from (engine_repair.Closed(str(station)) for station in case.changes.closed)
    yield from (engine_repair.AdultGone(str(station)) for station in case.changes.adults)
    if case.changes.merged is not None:
        into = () if case.changes.into is None else (case.changes.into,)
        yield engine_repair.Merged(case.changes.merged, into)
    if case.changes.lost_s:
        yield engine_repair.Lost(case.changes.lost_s)


def _offer(case: Case, key: str, outcome: Outcome[Any], answer: engine_repair.Answer) -> Offer:
    groups = [
        {"bib": group.bib, "athletes": list(children)}
        for group, children in zip(case.plan.groups, answer.groups.groups, strict=True)
    ]
    rounds = [[where for _group, where in turn] for turn in answer.rotation.rounds]
    stored = {"groups": groups, "rounds": rounds, "timetable": bridge.entries(answer.hours)}
    if earlier := _earlier(case, groups):
        stored["earlier"] = earlier
    return Offer(key, answer, Draft(stored, _proof(case, outcome, answer)))


def _earlier(case: Case, groups: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Who was in which group in the rounds that are over or under way: nobody is looked for elsewhere before."""
    last, plan = case.at_round - 1, case.plan
    before = [{"until": one.until, "groups": _rows(one.groups)} for one in plan.earlier if one.until < last]
    now = _rows(plan.groups_in(last)) if last else groups
    return [*before, {"until": last, "groups": now}] if now != groups else before


def _rows(groups: Iterable[GroupView]) -> list[dict[str, Any]]:
    return [{"bib": group.bib, "athletes": [str(child) for child in group.athletes]} for group in groups]


def _proof(case: Case, outcome: Outcome[Any], answer: engine_repair.Answer) -> dict[str, Any]:
    """What is kept of how it was found. That nobody fairer could be had was only shown among those who move least."""
    owed = {(one.athlete, one.station) for one in answer.owed}
    owed |= {(child, station) for child, station in case.plan.proof.get("owed", []) if UUID(child) in case.here}
    return {
        "fitted": {
            "status": str(outcome.status),
            "score": outcome.score,
            "bound": outcome.bound,
            "at_round": case.at_round,
            "moved": [move.athlete for move in answer.moves],
        },
        "owed": [list(pair) for pair in sorted(owed)],
    }
