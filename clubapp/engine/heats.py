"""Heats: who races whom in which lane, and who goes through. Strength is the mean of likely times.

The next round is a problem of its own: `advance` ranks who goes through, and `Problem(ranked=True)` takes them so.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace

from clubapp.engine import heats_cut as cuts
from clubapp.engine import limits, shares
from clubapp.engine.heats_lanes import LaneDraw, draw_lanes, lane_groups, wrong_lanes
from clubapp.engine.heats_next import Finish, Note, Rule, State, Through, advance, finals, places
from clubapp.engine.heats_problem import Answer, Heat, Mode, Problem, means
from clubapp.engine.limits import Limit, Stopwatch
from clubapp.engine.outcome import Outcome, Reason, Status

__all__ = [
    "Answer",
    "Finish",
    "Heat",
    "LaneDraw",
    "Mode",
    "Note",
    "Problem",
    "Rule",
    "State",
    "Through",
    "advance",
    "finals",
    "lane_groups",
    "means",
    "places",
    "plain",
    "score",
    "solve",
    "violations",
]

CLOSE = 1e-6


def solve(
    problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0, start: Answer | None = None
) -> Outcome[Answer]:
    """Heats and lanes. start: unused, for the plain way is found at once."""
    watch = Stopwatch()
    lot = random.Random(f"heats {seed}")
    cut, bound, way = _cut(problem, limit, seed, lot)
    if cut is None:
        return Outcome(None, Status.IMPOSSIBLE, 0.0, 0.0, watch.seconds, _why(problem, way))
    answer = _with_lanes(problem, cut, lot)
    worth = score(problem, answer)
    if worth <= bound + CLOSE:
        return Outcome(answer, Status.BEST, worth, worth, watch.seconds)
    snake = cuts.snake(problem)
    simple = problem.mode is Mode.EVEN and worth > cuts.spread_ms(problem, snake) - CLOSE
    return Outcome(answer, Status.SIMPLE if simple else Status.GOOD, worth, bound, watch.seconds)


def _cut(problem: Problem, limit: Limit, seed: int, lot: random.Random) -> tuple[cuts.Cut | None, float, shares.Way]:
    """The heats, a bound on the score, and whether there is a way."""
    if problem.mode is Mode.EVEN:
        return cuts.even(problem, limit, seed)
    first = cuts.blocks(problem) if problem.mode is Mode.LIKE else cuts.by_lot(problem, lot)
    bound = cuts.spread_ms(problem, cuts.blocks(replace(problem, ranked=False)))
    cut = cuts.parted(problem, first)
    if cut is None:
        cut, _, way = cuts.even(problem, limit, seed)  # the solver knows whether anything keeps them apart
        return cut, bound, way
    return cut, bound, shares.Way.FOUND


def plain(problem: Problem, seed: int = 0) -> Answer:
    """The snake, and lanes by the draw; looks at no pair."""
    return _with_lanes(problem, cuts.snake(problem), random.Random(f"heats {seed}"))


def _with_lanes(problem: Problem, cut: cuts.Cut, lot: random.Random) -> Answer:
    """Like with like runs the slower heats first, so that nobody waits to be beaten; else the order is by lot."""
    heats = [Heat(draw_lanes(heat, problem.lanes, problem.draw, lot)) for heat in cut]
    if problem.mode is Mode.LIKE:
        heats.reverse()
    else:
        lot.shuffle(heats)
    return Answer(tuple(heats))


def _why(problem: Problem, way: shares.Way) -> tuple[Reason, ...]:
    if way is shares.Way.UNKNOWN:
        return (Reason("time", "No heats that keep every pair apart were found in the time given."),)
    text = f"{len(problem.apart)} pairs cannot all be kept apart in {problem.count} heats."
    return tuple(
        Reason("apart", text, tuple(sorted(pair)), "Let these two race each other, or take one more heat.")
        for pair in problem.apart
    )


def score(problem: Problem, answer: Answer) -> float:
    """Milliseconds: EVEN the difference of the heats' mean likely times, LIKE the deviation within heats, OPEN 0."""
    return cuts.spread_ms(problem, tuple(heat.ids for heat in answer.heats))


def violations(problem: Problem, answer: Answer) -> list[str]:
    """What is wrong with heats, in words; empty when they keep everything."""
    found = []
    ids = Counter(child for heat in answer.heats for child in heat.ids)
    if ids != Counter(runner.id for runner in problem.runners):
        return ["Not everybody runs exactly once."]
    sizes = [len(heat.places) for heat in answer.heats]
    if len(sizes) != problem.count or max(sizes) - min(sizes) > 1:
        found.append(f"There are to be {problem.count} heats whose sizes differ by one at most.")
    for pair in problem.apart:
        if any(pair <= set(heat.ids) for heat in answer.heats):
            found.append(f"{' and '.join(sorted(pair))} are to be apart.")
    for heat in answer.heats:
        ranked = [runner.id for runner in problem.order if runner.id in heat.ids]
        found += wrong_lanes(ranked, heat.places, problem.lanes, problem.draw)
    return found
