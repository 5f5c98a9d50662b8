"""Whole ways round the stations, put together: for one group at a station and nobody resting.

Every way that keeps the rule on hard stations is a column; an answer takes one for each group so that no two meet. A
price on each place in each round (Lagrangian relaxation, Held and Karp 1971) gives a bound that is nearly always the
best score itself, and shows which few ways can be part of a better answer than the one known; the solver puts these
together.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import permutations
from typing import Any

import numpy as np
from numpy.typing import NDArray

from clubapp.engine import cpsat
from clubapp.engine.limits import Limit
from clubapp.engine.rotation_problem import Answer, Problem, answer_of
from clubapp.engine.rotation_room import room_of

Ints = NDArray[np.int64]

MOST_WAYS = 45_000
ROUNDS_OF_PRICES = 400
PATIENCE = 8  # prices that do not help so often are moved in smaller steps
MOST_COLUMNS = 6_000


@dataclass(frozen=True)
class Ways:
    """at: station numbers by way and round, in order. cost: millimetres. place: number of (station, round) from the
    second round on. first: where the ways from each station begin; every station has one.
    """

    at: Ints
    cost: Ints
    place: Ints
    first: Ints
    groups: int

    @property
    def sizes(self) -> Ints:
        return np.diff(np.append(self.first, len(self.at)))


@dataclass(frozen=True)
class Prices:
    """bound: no answer costs less. over: how much dearer each way makes an answer, at least."""

    bound: int
    over: Ints


@dataclass(frozen=True)
class Found:
    """bound in millimetres: no answer costs less. answer: None where nothing better than what was known was found."""

    answer: Answer | None
    bound: int


def fits(problem: Problem) -> bool:
    """Whether ways of single groups say it all, and are not too many to write down."""
    alone = all(station.groups_max == 1 for station in problem.stations) and not problem.fixed
    shared = problem.kit_owned or problem.staffed is not None or problem.balanced_succession or problem.may_rest
    count, rounds = len(problem.stations), problem.rounds
    few = rounds <= count and math.perm(count, rounds) <= MOST_WAYS
    return alone and few and not shared and not problem.closed and not room_of(problem).rests


def ways_of(problem: Problem) -> Ways | None:
    """All ways that keep the rule on hard stations; None where a station is the first of none."""
    stations, count = problem.stations, len(problem.stations)
    at = np.array(list(permutations(range(count), problem.rounds)), dtype=np.int64)
    hard = np.array([station.hard for station in stations])[at]
    for last in range(problem.max_hard_run or 0, problem.rounds) if problem.max_hard_run is not None else ():
        window = hard[:, last - (problem.max_hard_run or 0) : last + 1]
        at, hard = at[~window.all(axis=1)], hard[~window.all(axis=1)]
    if len(set(at[:, 0].tolist())) < count:
        return None
    walks = np.array([[problem.walks[a.id, b.id] for b in stations] for a in stations], dtype=np.int64)
    cost = walks[at[:, :-1], at[:, 1:]].sum(axis=1) if problem.least_walking else np.zeros(len(at), np.int64)
    place = at[:, 1:] * (problem.rounds - 1) + np.arange(problem.rounds - 1)
    return Ways(at, cost, place, np.searchsorted(at[:, 0], np.arange(count)), len(problem.groups))


def priced(ways: Ways, target: int) -> Prices:
    """The best prices a subgradient search finds; target: the cost of an answer that is known."""
    count = len(ways.first)
    price = np.zeros(count * ways.place.shape[1], dtype=np.int64)
    best = _judged(ways, price)
    kept, slope, step, stalled = price, np.zeros(len(price)), 1.0, 0
    for _ in range(ROUNDS_OF_PRICES):
        now = _judged(ways, price)
        if now.bound > best.bound:
            best, kept, stalled = now, price, 0
        else:
            stalled += 1
        if stalled == PATIENCE:
            price, step, stalled = kept, 0.7 * step, 0
            continue
        slope = 0.6 * _demand(ways, now) + 0.4 * slope
        length = float((slope**2).sum())
        if best.bound >= target or length == 0 or step < 1e-4:
            break
        price = price + np.rint(step * (target - now.bound) / length * slope).astype(np.int64)
        if ways.groups < count:
            price = np.minimum(price, 0)  # a place that may stay empty is never worth paying for
    return best


def _judged(ways: Ways, price: Ints) -> Prices:
    """What the cheapest ways cost at these prices: each group from another station."""
    reduced = ways.cost - price[ways.place].sum(axis=1)
    least = np.minimum.reduceat(reduced, ways.first)
    dearest = np.sort(least)[ways.groups - 1]
    cheapest = np.sort(least)[: ways.groups].sum()
    return Prices(int(cheapest + price.sum()), reduced - np.repeat(np.minimum(least, dearest), ways.sizes))


def _demand(ways: Ways, now: Prices) -> NDArray[np.float64]:
    """For each place one, less how often the cheapest ways go there."""
    chosen = []
    for begin, size in zip(ways.first, ways.sizes, strict=True):
        chosen.append(begin + int(np.argmin(now.over[begin : begin + size])))
    chosen = sorted(chosen, key=lambda way: int(now.over[way]))[: ways.groups]
    slope = np.ones(len(ways.first) * ways.place.shape[1])
    np.subtract.at(slope, ways.place[chosen].ravel(), 1)
    return slope


def best(problem: Problem, known_mm: int | None, limit: Limit, seed: int) -> Found:
    """The best answer below what is known, and a bound on every answer."""
    ways = ways_of(problem)
    if ways is None:
        return Found(None, 0)
    cost = int(ways.cost.max()) * ways.groups + 1 if known_mm is None else known_mm
    prices = priced(ways, cost)
    answer, bound, width = None, prices.bound, max(1, prices.bound // 200)
    while bound < cost:
        within = min(width, cost - prices.bound)
        columns = np.flatnonzero(prices.over <= within)
        if len(columns) > MOST_COLUMNS:
            break
        done, taken = _together(ways, columns, limit, seed)
        if done.found and done.objective < cost:
            cost, answer = round(done.objective), _answer(problem, ways.at[taken])
        if done.proof in (cpsat.Proof.FOUND, cpsat.Proof.UNKNOWN):
            break
        bound, width = min(cost, prices.bound + within), 3 * width
    return Found(answer, bound)


def _together(ways: Ways, columns: Ints, limit: Limit, seed: int) -> tuple[cpsat.Run, Ints]:
    """Choose among some ways one for each group, no two in one place, for the least cost."""
    model = cpsat.new_model()
    takes = [model.new_bool_var("") for _ in columns]
    there: dict[int, list[Any]] = {}
    for take, way in zip(takes, columns, strict=True):
        for key in (-1 - int(ways.at[way, 0]), *ways.place[way].tolist()):
            there.setdefault(key, []).append(take)
    for several in there.values():
        model.add_at_most_one(several)
    model.add(sum(takes) == ways.groups)
    model.minimize(sum(int(ways.cost[way]) * take for take, way in zip(takes, columns, strict=True)))
    done = cpsat.run(model, limit, seed, linear=2)
    taken = [way for take, way in zip(takes, columns, strict=True) if done.found and done.true(take)]
    return done, np.array(taken, dtype=np.int64)


def _answer(problem: Problem, rows: Ints) -> Answer:
    """Ways as the groups' paths, in the order of their first stations."""
    ids = [station.id for station in problem.stations]
    paths: dict[str, list[str | None]] = {
        group: [ids[number] for number in row] for group, row in zip(problem.groups, rows.tolist(), strict=True)
    }
    return answer_of(problem, paths)
