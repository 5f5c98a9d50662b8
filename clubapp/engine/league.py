"""Small-sided and wall games: who plays whom on which pitch, who rests, who is referee, and how teams stand."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence

from clubapp.engine import limits
from clubapp.engine.league_fixtures import Game, cost, in_slots, refereed, rounds
from clubapp.engine.league_problem import PLAYERS, Answer, Fixture, Kind, Problem
from clubapp.engine.league_table import LAST_WORD, POINTS, TIES, Points, Result, Row, Tie, Until, standings
from clubapp.engine.limits import Limit, Stopwatch
from clubapp.engine.outcome import Outcome, Status

__all__ = [
    "LAST_WORD",
    "PLAYERS",
    "POINTS",
    "TIES",
    "Answer",
    "Fixture",
    "Kind",
    "Points",
    "Problem",
    "Result",
    "Row",
    "Tie",
    "Until",
    "plain",
    "score",
    "solve",
    "standings",
    "violations",
]


def solve(
    problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0, start: Answer | None = None
) -> Outcome[Answer]:
    """The published table on the pitches there are. limit and start: unused, tries are counted.

    Where all games of a round have a pitch the table is the answer; else the longest wait is held against the least
    possible one: with so many children resting at a time somebody must rest so often running.
    """
    watch = Stopwatch()
    answer = Answer(refereed(problem, in_slots(problem, seed)))
    worth, bound = score(problem, answer), _least_wait(problem, len(answer.slots))
    return Outcome(answer, Status.BEST if worth <= bound else Status.GOOD, worth, bound, watch.seconds)


def plain(problem: Problem) -> Answer:
    """The table's games in its own order, as many at a time as there are pitches and free sides."""
    slots: list[list[Game]] = []
    for game in (game for turn in rounds(problem) for game in turn):
        busy = {side for other in slots[-1] for side in (*other[0], *other[1])} if slots else set()
        if not slots or len(slots[-1]) == problem.pitches or busy & {*game[0], *game[1]}:
            slots.append([])
        slots[-1].append(game)
    return Answer(refereed(problem, slots[: problem.slots]))


def _least_wait(problem: Problem, slots: int) -> float:
    """In one slot so many sides play; until everybody has played once somebody waits for all slots but the last."""
    each = 2 if problem.kind is Kind.TEAMS else 4
    playing = min(problem.pitches * each, len(problem.sides) // each * each)
    return float(min(math.ceil(len(problem.sides) / playing) - 1, slots))


def score(problem: Problem, answer: Answer) -> float:
    """The longest anybody waits, in slots."""
    return float(cost(problem, _games(answer))[1])


def _games(answer: Answer) -> list[list[Game]]:
    return [[(one.first, one.second) for one in slot] for slot in answer.slots]


def violations(problem: Problem, answer: Answer) -> list[str]:
    """What is wrong with fixtures, in words; empty when they keep everything."""
    return [*_wrong_slots(problem, answer), *_wrong_games(problem, answer), *_wrong_referees(problem, answer)]


def _wrong_slots(problem: Problem, answer: Answer) -> Iterator[str]:
    if problem.slots is not None and len(answer.slots) > problem.slots:
        yield f"There is time for {problem.slots} slots."
    for slot in answer.slots:
        if len({one.pitch for one in slot}) < len(slot) or any(not 1 <= one.pitch <= problem.pitches for one in slot):
            yield "Two games are on one pitch, or a pitch is not there."
        there = [side for one in slot for side in (*one.players, *([one.referee] if one.referee else []))]
        if len(set(there)) < len(there):
            yield "Somebody is in two places at once."


def _wrong_games(problem: Problem, answer: Answer) -> Iterator[str]:
    table = Counter(game for turn in rounds(problem) for game in turn)
    played = Counter((one.first, one.second) for one in answer.fixtures)
    if played - table:
        yield "A game is not in the table, or is played too often."
    if problem.slots is None and table - played:
        yield "A game of the table is missing."
    if cost(problem, _games(answer))[2] > 2:
        yield "On the way somebody has played much more often than somebody else."
    firsts = Counter(one.first[0] for one in answer.fixtures)
    seconds = Counter(one.second[0] for one in answer.fixtures)
    whole = problem.slots is None and problem.kind is Kind.TEAMS
    if whole and any(abs(firsts[side] - seconds[side]) > 1 for side in problem.sides):
        yield "Sides are not balanced."


def _wrong_referees(problem: Problem, answer: Answer) -> Iterator[str]:
    for slot in answer.slots:
        busy = {side for one in slot for side in one.players}
        named: Sequence[str | None] = [one.referee for one in slot]
        if any(who is not None and who not in problem.sides for who in named):
            yield "A referee is none of the sides."
        if named.count(None) > max(0, len(slot) - (len(problem.sides) - len(busy))):
            yield "A game has no referee although somebody rests."
