"""Relays: teams that are as quick as each other, and who runs which leg.

Likely times add up; hand-overs are not reckoned, for nobody has measured them.
"""

from __future__ import annotations

import random
from collections import Counter
from itertools import pairwise

from clubapp.engine import limits, shares
from clubapp.engine import relay_legs as legs
from clubapp.engine import relay_teams as making
from clubapp.engine.limits import Limit, Stopwatch
from clubapp.engine.outcome import Outcome, Reason, Status
from clubapp.engine.relay_change import joined, left
from clubapp.engine.relay_legs import Zone, ends, points, zone
from clubapp.engine.relay_problem import Answer, Kind, Order, Problem, totals, turn

__all__ = [
    "Answer",
    "Kind",
    "Order",
    "Problem",
    "Zone",
    "ends",
    "joined",
    "left",
    "plain",
    "points",
    "score",
    "solve",
    "totals",
    "violations",
    "zone",
]

CLOSE = 1e-6


def solve(
    problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0, start: Answer | None = None
) -> Outcome[Answer]:
    """Teams and legs. start: unused, for the plain way is found at once."""
    watch = Stopwatch()
    found = making.best(problem, limit, seed)
    if isinstance(found, shares.Way):
        return Outcome(None, Status.IMPOSSIBLE, 0.0, 0.0, watch.seconds, _why(problem, found))
    teams, twice, bound = found
    answer = _ordered(problem, teams, twice, seed)
    worth = score(problem, answer)
    if worth <= bound + CLOSE:
        return Outcome(answer, Status.BEST, worth, worth, watch.seconds)
    return Outcome(answer, Status.GOOD, worth, bound, watch.seconds)


def plain(problem: Problem, seed: int = 0) -> Answer:
    """Dealt like a snake by speed; looks at no pair and no first-timer."""
    twice = next(making.candidates(problem, seed))
    return _ordered(problem, making.teams_of(problem, making.dealt(problem, twice)), twice, seed)


def _ordered(problem: Problem, teams: making.Teams, twice: frozenset[str], seed: int) -> Answer:
    """Legs of every team; the teams change numbers by lot, so that a number tells nothing."""
    lot = random.Random(f"relay {seed}")
    places = lot.sample(range(problem.legs), problem.legs)
    made = [legs.in_order(problem, team, twice, lot, places) for team in teams]
    lot.shuffle(made)
    return Answer(tuple(made))


def _why(problem: Problem, way: shares.Way) -> tuple[Reason, ...]:
    if way is shares.Way.UNKNOWN:
        return (Reason("time", "No teams that keep every rule were found in the time given."),)
    found = []
    if len(problem.runners) - len(problem.once) < problem.short:
        text = f"{problem.short} children must run twice, and too few may."
        found.append(Reason("once", text, tuple(sorted(problem.once)), "Take another number of teams."))
    text = "Not every pair can be kept apart in this number of teams, with first-timers spread."
    for pair in problem.apart:
        found.append(Reason("apart", text, tuple(sorted(pair)), "Let these two be in one team."))
    return tuple(found)


def score(problem: Problem, answer: Answer) -> float:
    """Milliseconds between the quickest and the slowest team's likely total."""
    found = totals(problem, answer)
    return float(max(found) - min(found))


def violations(problem: Problem, answer: Answer) -> list[str]:
    """What is wrong with teams and legs, in words; empty when they keep everything."""
    runs = Counter(child for team in answer.teams for child in team)
    home = Counter(child for team in answer.teams for child in set(team))
    if home != Counter(one.id for one in problem.runners) or max(runs.values()) > 2:
        return ["Not everybody is in exactly one team, or somebody runs more than twice."]
    found = []
    if len(answer.teams) != problem.teams or any(len(team) != problem.legs for team in answer.teams):
        found.append(f"There are to be {problem.teams} teams that run {problem.legs} legs each.")
    if any(pair <= set(team) for pair in problem.apart for team in answer.teams):
        found.append("A pair who should be apart is in one team.")
    new = [len(problem.first_timers & set(team)) for team in answer.teams]
    if max(new) - min(new) > 1:
        found.append("First-timers are not spread.")
    return [*found, *_unfair(problem, answer)]


def _unfair(problem: Problem, answer: Answer) -> list[str]:
    """What is wrong with who runs twice."""
    found = [f"{child} is to run once." for child in answer.twice if child in problem.once]
    waiting = [one.id for one in problem.runners if one.id not in problem.once and one.id not in answer.twice]
    first = min((turn(problem, child) for child in waiting), default=(True, 0))
    found += [f"It is not {child}'s turn to run twice." for child in answer.twice if turn(problem, child) > first]
    for team in answer.teams:
        if len(set(team)) > 1 and len(team) > 2 and any(one == two for one, two in pairwise(team)):
            found.append("Somebody runs two legs without a rest.")
    return found
