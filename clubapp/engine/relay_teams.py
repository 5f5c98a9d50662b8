"""Children cut into teams of equal likely total, with whoever runs twice counted twice."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

import numpy as np

from clubapp.engine import designs, recut, shares
from clubapp.engine.limits import Limit
from clubapp.engine.relay_problem import Problem, turn
from clubapp.engine.search import Ints

LOTS = 3  # draws among those whose turn it equally is
Teams = tuple[tuple[str, ...], ...]  # who is in each team, each child once


def candidates(problem: Problem, seed: int) -> Iterator[frozenset[str]]:
    """Who runs twice: those whose turn it is; among equals a few draws by lot. None where too few may."""
    able = sorted((one.id for one in problem.by_speed if one.id not in problem.once), key=lambda c: turn(problem, c))
    if len(able) < problem.short or not problem.short:
        yield from [frozenset()] if not problem.short else []
        return
    last = turn(problem, able[problem.short - 1])
    sure = [child for child in able if turn(problem, child) < last]
    level = [child for child in able if turn(problem, child) == last]
    lot, seen = random.Random(f"twice {seed}"), set()
    for _ in range(LOTS):
        drawn = frozenset([*sure, *lot.sample(level, problem.short - len(sure))])
        if drawn not in seen:
            seen.add(drawn)
            yield drawn


def sizes(problem: Problem) -> tuple[int, ...]:
    """The larger teams first."""
    full = problem.teams - problem.short
    return tuple(problem.legs if team < full else problem.legs - 1 for team in range(problem.teams))


def job(problem: Problem, twice: frozenset[str]) -> shares.Cut:
    """The cut that is asked for. First-timers are spread, and each short team has one child who runs twice."""
    order = problem.by_speed
    place = {runner.id: at for at, runner in enumerate(order)}
    full = problem.teams - problem.short
    must = tuple(int(team >= full) for team in range(problem.teams))
    new = sorted(place[child] for child in problem.first_timers)
    low, over = divmod(len(new), problem.teams)
    kinds = [
        shares.Kind(tuple(sorted(place[child] for child in twice)), must, must),
        shares.Kind(tuple(new), (low,) * problem.teams, (low + bool(over),) * problem.teams),
    ]
    return shares.Cut(
        tuple(runner.ms * (2 if runner.id in twice else 1) for runner in order),
        sizes(problem),
        tuple(sorted((min(pair), max(pair)) for pair in ({place[child] for child in two} for two in problem.apart))),
        tuple(kinds),
        by_mean=False,
    )


def dealt(problem: Problem, twice: frozenset[str]) -> Ints:
    """Like a snake by speed, whoever runs twice first of all into the short teams."""
    order, room = problem.by_speed, list(sizes(problem))
    seats: dict[str, int] = {}
    for team, child in enumerate(sorted(twice), start=problem.teams - problem.short):
        seats[child] = team
        room[team] -= 1
    teams = iter(designs.serpentine(2 * problem.teams * len(order), problem.teams))
    for runner in order:
        if runner.id not in seats:
            seats[runner.id] = next(team for team in teams if room[team])
            room[seats[runner.id]] -= 1
    return np.array([seats[runner.id] for runner in order])


def teams_of(problem: Problem, seats: Sequence[int] | Ints) -> Teams:
    """Ids of each team, the quickest first."""
    pairs = list(zip(problem.by_speed, seats, strict=True))
    return tuple(tuple(one.id for one, at in pairs if at == team) for team in range(problem.teams))


def best(problem: Problem, limit: Limit, seed: int) -> tuple[Teams, frozenset[str], float] | shares.Way:
    """The most equal teams over the draws of who runs twice, and a bound; or why there are none.

    The bound is known only where there was one way to say who runs twice.
    """
    draws = [_settled(problem, twice, seed) for twice in candidates(problem, seed)]
    ways = []
    for (broken, spread), twice, seats in sorted(draws, key=lambda draw: draw[0]):
        if not broken and spread <= shares.FINE_MS:
            return teams_of(problem, seats), twice, _least(problem)
        tried = shares.solve(job(problem, twice), seats, limit, seed)
        if tried.way is shares.Way.FOUND:
            return teams_of(problem, tried.seats), twice, tried.bound_ms if not problem.short else 0.0
        ways.append(tried.way)
    return shares.Way.UNKNOWN if shares.Way.UNKNOWN in ways else shares.Way.NONE


def _settled(problem: Problem, twice: frozenset[str], seed: int) -> tuple[tuple[int, float], frozenset[str], Ints]:
    """What two teams at a time make of a draw: rules broken and spread, who runs twice, seats."""
    cut = job(problem, twice)
    seats = recut.settled(cut, dealt(problem, twice), seed)
    return (cut.broken(seats), cut.spread_ms(seats)), twice, seats


def _least(problem: Problem) -> float:
    """Whole milliseconds that do not share out evenly leave one."""
    return float(not problem.short and sum(one.ms for one in problem.runners) % problem.teams > 0)
