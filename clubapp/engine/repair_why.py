"""Who moves and why, and who misses what: told of an answer from plain data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from clubapp.engine import groups as engine_groups
from clubapp.engine.groups import Answer
from clubapp.engine.outcome import Reason
from clubapp.engine.repair_groups import effort, violations
from clubapp.engine.repair_problem import Move, Owed, Problem, seats_of
from clubapp.engine.rotation import Answer as Rotation


def moves(problem: Problem, answer: Answer) -> tuple[Move, ...]:
    """Children who change groups, by id."""
    now = seats_of(answer.groups)
    changed = [child for child in sorted(now) if child in problem.seat and problem.seat[child] != now[child]]
    return tuple(Move(child, problem.seat[child], now[child], _why_moved(problem, answer, child)) for child in changed)


def placed(problem: Problem, answer: Answer) -> tuple[Move, ...]:
    """Late children and where they go, by id."""
    now = seats_of(answer.groups)
    return tuple(Move(child, None, now[child], _why_here(problem, answer, child)) for child in sorted(problem.late))


def _why_moved(problem: Problem, answer: Answer, child: str) -> Reason:
    """What would be wrong if the child had stayed."""
    was = problem.seat[child]
    if was not in problem.alive:
        name = problem.turns.groups[was]
        return Reason("merged", f"{name} is given up.", (str(was),))
    stayed = with_child_in(answer, child, was)
    if broken := broken_rules(problem, stayed):
        return broken[0]
    if effort(problem, stayed).uneven > effort(problem, answer).uneven:
        return Reason("size", "The groups would be less equal in size otherwise.")
    return Reason("fair", "The groups are fairer like this.")


def _why_here(problem: Problem, answer: Answer, child: str) -> Reason:
    """Why a late child goes to this group and to no other."""
    at = seats_of(answer.groups)[child]
    others = [with_child_in(answer, child, g) for g in sorted(problem.targets(child)) if g != at]
    kept = [other for other in others if not violations(problem, other)]
    if not others:
        return Reason("only", "There is no other group.")
    if not kept:
        return Reason("only", "In every other group a rule would be broken.")
    uneven = effort(problem, answer).uneven
    if all(effort(problem, other).uneven > uneven for other in kept):
        return Reason("size", "The groups would be less equal in size otherwise.")
    return Reason("fair", "The groups are fairer like this.")


def with_child_in(answer: Answer, child: str, index: int) -> Answer:
    """One child in another group, everybody else as it is."""
    groups = [[c for c in group if c != child] for group in answer.groups]
    groups[index].append(child)
    return Answer.of(groups)


def broken_rules(problem: Problem, answer: Answer) -> list[Reason]:
    """The coach's rules that groups break."""
    here = replace(problem.here, sizes=tuple(len(group) for group in answer.groups))
    texts = set(engine_groups.violations(here, answer))
    return [rule for rule in engine_groups.reasons(here) if rule.text in texts]


def owed(problem: Problem, answer: Answer, rotation: Rotation) -> tuple[Owed, ...]:
    """By child and station: what the running plan had for the children who are here, and the new one has not."""
    return tuple(sorted(set(_owed(problem, answer, rotation)), key=lambda one: (one.athlete, one.station)))


def _owed(problem: Problem, answer: Answer, rotation: Rotation) -> Iterator[Owed]:
    past = problem.at_round - 1
    for child, now in seats_of(answer.groups).items():
        own = problem.seat.get(child)
        before = _path(problem, problem.rotation, now if own is None else own)
        after = _path(problem, rotation, now)[past:]
        had = [] if own is None else before[:past]
        for station in set(before[past:]) - {None, *had, *after}:
            yield Owed(child, str(station))
        for station in after if child in problem.easy else ():
            if station is not None and problem.turns.station[station].hard:
                yield Owed(child, station)


def _path(problem: Problem, rotation: Rotation, group: int) -> list[str | None]:
    return list(rotation.path(problem.turns.groups[group]))
