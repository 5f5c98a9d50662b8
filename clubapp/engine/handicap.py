"""Handicap races: who starts when, or how far in front, so that everybody may win."""

from __future__ import annotations

import math
from collections.abc import Iterator

from clubapp.engine import handicap_marks as marking
from clubapp.engine import limits
from clubapp.engine.handicap_problem import (
    HALF_METRE_MM,
    SECOND_MS,
    Aim,
    Answer,
    How,
    Problem,
    chances,
    finishes,
    too_early,
)
from clubapp.engine.handicap_update import Rule, Update
from clubapp.engine.limits import Limit, Stopwatch
from clubapp.engine.outcome import Outcome, Reason, Status

__all__ = [
    "HALF_METRE_MM",
    "SECOND_MS",
    "Aim",
    "Answer",
    "How",
    "Problem",
    "Rule",
    "Update",
    "chances",
    "finishes",
    "joined",
    "plain",
    "score",
    "solve",
    "too_early",
    "violations",
    "without",
]

CLOSE = 1e-9
FACTOR = math.log(2)


def solve(
    problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0, start: Answer | None = None
) -> Outcome[Answer]:
    """Marks. There is no lot and no search without end: limit, seed and start change nothing.

    A common finish on a count is proven; careful starts and marks in metres are good, and equal chances are held
    against 0, which unrounded starts reach.
    """
    watch = Stopwatch()
    first = plain(problem)
    answer = first if problem.aim is Aim.TOGETHER else _made(marking.level_chances(problem))
    simple = problem.aim is Aim.CHANCES and score(problem, first) <= score(problem, answer) + CLOSE
    answer = first if simple else answer
    worth, advice = score(problem, answer), tuple(_advice(problem, answer))
    if problem.aim is Aim.TOGETHER and problem.how is How.SECONDS and answer == _made(marking.together(problem)):
        return Outcome(answer, Status.BEST, worth, worth, watch.seconds)
    return Outcome(answer, Status.SIMPLE if simple else Status.GOOD, worth, 0.0, watch.seconds, advice)


def _advice(problem: Problem, answer: Answer) -> Iterator[Reason]:
    """Where the step is too coarse for the race, it is said and what to do about it."""
    if problem.aim is Aim.CHANCES and score(problem, answer) > FACTOR:
        text = "With steps this large one child is more than twice as likely to win as another."
        way_out = "Give the head start in metres, take smaller steps, or run farther."
        yield Reason("step", text, (), way_out)


def plain(problem: Problem) -> Answer:
    """Starts for a common finish, new children careful."""
    return _made(marking.careful(problem, marking.together(problem)))


def joined(problem: Problem, answer: Answer, child: str) -> Answer:
    """problem: with a child who has no mark yet. It gets one; nobody else's moves."""
    return _made(marking.joined(problem, answer.of, child))


def without(problem: Problem, answer: Answer, child: str) -> Answer:
    """problem: without the child."""
    return _made(marking.without(problem, answer.of, child))


def _made(marks: marking.Marks) -> Answer:
    return Answer(tuple(sorted(marks.items())))


def score(problem: Problem, answer: Answer) -> float:
    """TOGETHER: milliseconds between the first and the last likely finish. CHANCES: log(largest over smallest)."""
    if problem.aim is Aim.TOGETHER:
        return marking.spread_ms(problem, answer.of)
    return marking.unequal(problem, answer.of)[0]


def violations(problem: Problem, answer: Answer) -> list[str]:
    """What is wrong with marks, in words; empty when they keep everything."""
    marks = answer.of
    if sorted(child for child, _ in answer.marks) != sorted(one.id for one in problem.runners):
        return ["Not everybody has exactly one mark."]
    front = problem.front if problem.how is How.SECONDS else 0
    found = []
    if min(marks.values()) != front:
        found.append(
            "Nobody starts on the front mark." if problem.how is How.SECONDS else "Nobody runs the whole course."
        )
    if any((mark - front) % problem.step for mark in marks.values()):
        found.append("A mark is not a whole step.")
    if problem.how is How.METRES and max(marks.values()) >= problem.distance_mm:
        return [*found, "A mark is not on the course."]
    return [*found, *(f"{child} is new and starts too far in front." for child in too_early(problem, marks))]
