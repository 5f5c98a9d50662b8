"""Where groups go from now on: the past as it was, as little changed as can be, rests only where there is no room."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from clubapp.engine import rotation as engine_rotation
from clubapp.engine.limits import Limit
from clubapp.engine.outcome import Reason, Status
from clubapp.engine.repair_problem import Problem
from clubapp.engine.rotation import Answer

Turn = tuple[tuple[str, str | None], ...]


@dataclass(frozen=True)
class Turns:
    """answer: for every group, those given up resting. BEST: as little changed as can be, or proven best anew."""

    answer: Answer
    status: Status


def frame(problem: Problem, rounds: int) -> engine_rotation.Problem:
    """What is asked of the groups that go on, for so many rounds in all, the past fixed."""
    return replace(
        problem.turns,
        groups=_names(problem),
        rounds=rounds,
        fixed=tuple(_only(problem, turn) for turn in problem.rotation.rounds[: problem.at_round - 1]),
        closed=problem.turns.closed | problem.closed,
    )


def _names(problem: Problem) -> tuple[str, ...]:
    return tuple(problem.turns.groups[g] for g in problem.alive)


def _only(problem: Problem, turn: Turn) -> Turn:
    """A round of the groups that go on."""
    where = dict(turn)
    return tuple((name, where[name]) for name in _names(problem))


def touched(problem: Problem) -> bool:
    """Whether what changed has to do with stations at all."""
    return bool(problem.closed) or len(problem.alive) < len(set(problem.seat.values()))


def turned(problem: Problem, rounds: int, limit: Limit, seed: int) -> Turns | tuple[Reason, ...]:
    """The running rotation if it will still do; whoever finds a station closed rests; else a new one."""
    if rounds == problem.turns.rounds and not touched(problem):
        return Turns(problem.rotation, Status.BEST)
    asked = frame(problem, rounds)
    kept = [answer for answer in _kept(problem, rounds) if not engine_rotation.violations(asked, answer)]
    if kept:
        best = min(kept, key=lambda answer: engine_rotation.score(asked, answer))
        return Turns(_whole(problem, best), Status.BEST)
    return anew(problem, rounds, limit, seed)


def anew(problem: Problem, rounds: int, limit: Limit, seed: int) -> Turns | tuple[Reason, ...]:
    """A new rotation from this round on; groups rest although there is room only if nothing else can be."""
    asked = frame(problem, rounds)
    done = engine_rotation.solve(asked, limit=limit, seed=seed)
    if done.answer is None:
        done = engine_rotation.solve(replace(asked, may_rest=True), limit=limit, seed=seed)
    return done.reasons if done.answer is None else Turns(_whole(problem, done.answer), done.status)


def at_rest(problem: Problem, rounds: int) -> Answer | None:
    """Everybody goes on as before and whoever finds a station closed rests; None where that breaks a rule."""
    asked = replace(frame(problem, rounds), may_rest=True)
    kept = (answer for answer in _kept(problem, rounds) if not engine_rotation.violations(asked, answer))
    return next((_whole(problem, answer) for answer in kept), None)


def _kept(problem: Problem, rounds: int) -> Iterator[Answer]:
    """The running rotation without what is closed, and without any of the rounds that are dropped."""
    past, future = problem.rotation.rounds[: problem.at_round - 1], problem.rotation.rounds[problem.at_round - 1 :]
    for chosen in combinations(future, rounds - len(past)):
        rows = [_only(problem, turn) for turn in past]
        for number, turn in enumerate(chosen, start=len(past) + 1):
            rows.append(tuple((name, _if_open(problem, where, number)) for name, where in _only(problem, turn)))
        yield Answer(tuple(rows))


def _if_open(problem: Problem, where: str | None, turn: int) -> str | None:
    return None if where is None or (where, turn) in problem.closed else where


def _whole(problem: Problem, answer: Answer) -> Answer:
    """With the past of every group, and those given up resting from now on."""
    rows = list(problem.rotation.rounds[: problem.at_round - 1])
    for turn in answer.rounds[len(rows) :]:
        where = dict(turn)
        rows.append(tuple((name, where.get(name)) for name in problem.turns.groups))
    return Answer(tuple(rows))


def violations(problem: Problem, answer: Answer) -> list[str]:
    """What the rotation breaks from now on, and whether the past is as it was."""
    past = problem.rotation.rounds[: problem.at_round - 1]
    if answer.rounds[: len(past)] != past:
        return ["A round that is over was changed."]
    if len(answer.rounds) < problem.at_round or len(answer.rounds) > problem.turns.rounds:
        return [f"There are {len(answer.rounds)} rounds."]
    if answer.rounds == problem.rotation.rounds and not touched(problem):
        return []
    gone = set(problem.turns.groups) - set(_names(problem))
    places = [name for turn in answer.rounds[len(past) :] for name, where in turn if name in gone and where]
    found = [f"{problem.turns.name(name)} is given up and still has a place." for name in places]
    asked = replace(frame(problem, len(answer.rounds)), may_rest=True)
    going = Answer(tuple(_only(problem, turn) for turn in answer.rounds))
    return found + engine_rotation.violations(asked, going)
