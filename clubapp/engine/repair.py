"""A running plan and what changed: a new plan in which the past is frozen and as few children move as can be.

Who moves comes first (repair_groups), then where groups go (repair_turns), then when (repair_hours). The rules are
kept; of all groups that keep them those with the fewest children moved, then nearest in size, then fairest.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from clubapp.engine import limits, repair_groups, repair_hours, repair_turns
from clubapp.engine.limits import Limit, Stopwatch
from clubapp.engine.outcome import Outcome, Reason, Status
from clubapp.engine.repair_groups import Found, Hunt, effort
from clubapp.engine.repair_hours import Hours
from clubapp.engine.repair_problem import (
    AdultGone,
    Answer,
    Change,
    Closed,
    GoEasy,
    Late,
    Left,
    Lost,
    Merged,
    Move,
    Owed,
    Problem,
    Way,
)
from clubapp.engine.repair_turns import Turns
from clubapp.engine.repair_why import moves, owed, placed

__all__ = [
    "AdultGone",
    "Answer",
    "Change",
    "Closed",
    "GoEasy",
    "Late",
    "Left",
    "Lost",
    "Merged",
    "Move",
    "Owed",
    "Problem",
    "Way",
    "effort",
    "longer",
    "score",
    "second_best",
    "solve",
    "violations",
    "ways",
]

NOBODY = Reason("groups", "Nobody of these groups is here any more.", (), "Make new groups.")
NO_TIME = Reason("minutes", "The rounds to come cannot make up for {} s like that.", (), "Let it end later.")
NOT_FOUND = Reason("time", "No groups that keep every rule were found in the time given.", (), "Leave out a rule.")


@dataclass(frozen=True)
class _Task:
    problem: Problem
    limit: Limit
    seed: int
    watch: Stopwatch

    def no(self, *reasons: Reason) -> Outcome[Answer]:
        return Outcome(None, Status.IMPOSSIBLE, math.inf, math.inf, self.watch.seconds, reasons)


def solve(
    problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0, start: Answer | None = None
) -> Outcome[Answer]:
    """The plan with the fewest children moved that keeps the rules, then the fairest.

    start: an answer to begin from. BEST: the groups are proven best and the rotation had no need to be worse.
    """
    task = _Task(problem, limit, seed, Stopwatch())
    if not problem.alive:
        return task.no(NOBODY)
    found = repair_groups.best(Hunt(problem, limit, seed, start.groups if start else problem.groups))
    if not isinstance(found, Found):
        return task.no(*(found or (NOT_FOUND,)))
    return _finished(task, found, problem.way)


def second_best(
    problem: Problem, first: Answer, *, limit: Limit = limits.DEFAULT, seed: int = 0
) -> Outcome[Answer] | None:
    """Another plan than the first, for a coach who would rather not: other groups where children came or went, else
    another rotation, else another way with lost time. None where there is no other.
    """
    task = _Task(problem, limit, seed, Stopwatch())
    if problem.left or problem.late or problem.merged:
        found = repair_groups.best(Hunt(problem, limit, seed, first.groups, barred=(first.groups,)))
        return _finished(task, found, problem.way) if isinstance(found, Found) else None
    other = _other_turns(task, first) if repair_turns.touched(problem) and first.way is not Way.DROP else None
    if other is not None:
        return _timed(task, _same(problem, first), other, first.way)
    return next((outcome for way, outcome in ways(problem, first) if way is not first.way), None)


def ways(problem: Problem, first: Answer) -> tuple[tuple[Way, Outcome[Answer]], ...]:
    """The same groups with each way there is with lost time; none where none is lost."""
    task = _Task(problem, limits.QUICK, 0, Stopwatch())
    if first.way is None:
        return ()
    tried = ((way, _finished(task, _same(problem, first), way)) for way in Way)
    return tuple((way, outcome) for way, outcome in tried if outcome.answer)


def longer(problem: Problem, done: Outcome[Answer]) -> Outcome[Answer] | None:
    """The time that a dropped round frees given to the rounds that are left; None where there is nothing to give."""
    answer = done.answer
    if answer is None or answer.way is not Way.DROP:
        return None
    hours = repair_hours.lengthened(problem, Hours(answer.hours, answer.over_s))
    return None if hours is None else replace(done, answer=replace(answer, hours=hours.answer, over_s=hours.over_s))


def _same(problem: Problem, first: Answer) -> Found:
    return Found(first.groups, score(problem, first), proven=True)


def _other_turns(task: _Task, first: Answer) -> Turns | None:
    """A rotation made anew, or else the running one with rests, whichever is another."""
    rounds = len(first.rotation.rounds)
    fresh = repair_turns.anew(task.problem, rounds, task.limit, task.seed)
    if isinstance(fresh, Turns) and fresh.answer != first.rotation:
        return fresh
    resting = repair_turns.at_rest(task.problem, rounds)
    return None if resting is None or resting == first.rotation else Turns(resting, Status.SIMPLE)


def _finished(task: _Task, found: Found, way: Way | None) -> Outcome[Answer]:
    """Rotation and timetable for groups that stand."""
    turns = repair_turns.turned(task.problem, task.problem.turns.rounds, task.limit, task.seed)
    return _timed(task, found, turns, way) if isinstance(turns, Turns) else task.no(*turns)


def _timed(task: _Task, found: Found, turns: Turns, way: Way | None) -> Outcome[Answer]:
    """The first way with lost time that can be, of those that are wished."""
    hours = repair_hours.after(task.problem, turns.answer)
    if hours.over_s <= 0:
        return _outcome(task, found, turns, hours, None)
    for wished in (way,) if way else Way:
        made = _made_up(task, turns, hours, wished)
        if made is not None:
            return _outcome(task, found, *made, wished)
    return task.no(replace(NO_TIME, text=NO_TIME.text.format(hours.over_s)))


def _made_up(task: _Task, turns: Turns, hours: Hours, way: Way) -> tuple[Turns, Hours] | None:
    if way is Way.DROP:
        return _dropped(task)
    made = repair_hours.shortened(task.problem, hours) if way is Way.SHORTEN else hours
    return (turns, made) if made else None


def _dropped(task: _Task) -> tuple[Turns, Hours] | None:
    """As few rounds less as make up for the time; one is left at least."""
    problem = task.problem
    for rounds in range(problem.turns.rounds - 1, problem.at_round - 1, -1):
        turns = repair_turns.turned(problem, rounds, task.limit, task.seed)
        hours = repair_hours.after(problem, turns.answer) if isinstance(turns, Turns) else None
        if isinstance(turns, Turns) and hours and hours.over_s <= 0:
            return turns, hours
    return None


def _outcome(task: _Task, found: Found, turns: Turns, hours: Hours, way: Way | None) -> Outcome[Answer]:
    problem = task.problem
    answer = Answer(
        groups=found.answer,
        rotation=turns.answer,
        hours=hours.answer,
        moves=moves(problem, found.answer),
        placed=placed(problem, found.answer),
        owed=owed(problem, found.answer, turns.answer),
        way=way,
        over_s=hours.over_s,
    )
    groups = Status.BEST if found.proven else Status.GOOD
    status = max(groups, turns.status, key=list(Status).index)
    worth = score(problem, answer)
    return Outcome(answer, status, worth, min(worth, found.bound), task.watch.seconds)


def score(problem: Problem, answer: Answer) -> float:
    """Fairness of the groups, and far above it the children moved and how unequal the sizes are; smaller is better."""
    return repair_groups.score(problem, answer.groups)


def violations(problem: Problem, answer: Answer) -> list[str]:
    """What a new plan breaks, in words: rules on groups and stations, the past, walks, water, and what it tells."""
    if not problem.alive:
        return [NOBODY.text]
    found = repair_groups.violations(problem, answer.groups)
    found += repair_turns.violations(problem, answer.rotation)
    if found:
        return found
    found = repair_hours.violations(problem, answer.rotation, answer.hours, answer.way)
    told = (moves(problem, answer.groups), placed(problem, answer.groups))
    if (answer.moves, answer.placed) != told or answer.owed != owed(problem, answer.groups, answer.rotation):
        found.append("It does not tell who moves and who misses what.")
    return found
