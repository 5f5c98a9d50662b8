"""Members with a load, cut into parts of given sizes so that the parts are as equal as can be: heats and relay teams.

A swap search from the plain way; where that breaks a rule or leaves parts unequal, the solver, which also says when
there is no way.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from clubapp.engine import cpsat
from clubapp.engine.limits import Limit
from clubapp.engine.search import Floats, Ints, Plan, anneal

CHAINS, STEPS = 24, 1500
SOLVER = 0.125  # of the limit
BROKEN = 100.0  # what a broken rule counts, in standard deviations of the loads
FINE_MS = 20  # nobody times nearer: parts that differ by no more need no solver


@dataclass(frozen=True)
class Kind:
    """Members of whom every part has its least to its most, part by part."""

    members: tuple[int, ...]
    least: tuple[int, ...]
    most: tuple[int, ...]


@dataclass(frozen=True)
class Cut:
    """loads: milliseconds a member, in an order that does not hang on names. apart: pairs of members.

    by_mean: parts are compared by their means, else by their totals.
    """

    loads: tuple[int, ...]
    sizes: tuple[int, ...]
    apart: tuple[tuple[int, int], ...] = ()
    kinds: tuple[Kind, ...] = ()
    by_mean: bool = True

    @property
    def weights(self) -> tuple[int, ...]:
        """Whole numbers that make totals of parts of different sizes comparable."""
        return tuple(self.scale // size for size in self.sizes) if self.by_mean else (1,) * len(self.sizes)

    @property
    def scale(self) -> int:
        """How many of the compared units one millisecond is."""
        return math.lcm(*self.sizes) if self.by_mean else 1

    def spread_ms(self, seats: NDArray[np.int64]) -> float:
        """Largest part less the smallest."""
        totals = np.bincount(seats, weights=np.array(self.loads, dtype=float), minlength=len(self.sizes))
        compared = totals * np.array(self.weights)
        return float(compared.max() - compared.min()) / self.scale

    def broken(self, seats: NDArray[np.int64]) -> int:
        """How many rules are broken, a part with two too many counting twice."""
        inside = (seats[None, :] == np.arange(len(self.sizes))[:, None]).astype(float)
        ground = _Ground(self)
        return round(float(ground.rules(ground.features(inside)[None])[0]))


class Way(StrEnum):
    FOUND = "found"
    NONE = "none"  # proven: there is no way
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Found:
    """seats: member → part, where a way was found. bound_ms: no way has a smaller spread."""

    way: Way
    seats: Ints
    bound_ms: float = 0.0


class _Ground:
    """A part's features: its load, its pairs who should be apart, and how many of each kind it has."""

    def __init__(self, cut: Cut) -> None:
        self.cut = cut
        self.loads = np.array(cut.loads, dtype=float)
        self.unit = max(1.0, float(self.loads.std()))
        self.weights = np.array(cut.weights) / cut.scale
        self.pairs = np.array(cut.apart, dtype=np.int64).reshape(-1, 2)
        self.kinds = np.zeros((len(cut.kinds), len(cut.loads)))
        for at, kind in enumerate(cut.kinds):
            self.kinds[at, list(kind.members)] = 1.0
        self.least = np.array([kind.least for kind in cut.kinds]).reshape(-1, len(cut.sizes)).T
        self.most = np.array([kind.most for kind in cut.kinds]).reshape(-1, len(cut.sizes)).T

    def features(self, groups: Floats) -> Floats:
        clashes = (groups[:, self.pairs[:, 0]] * groups[:, self.pairs[:, 1]]).sum(axis=1)
        return np.column_stack([groups @ self.loads, clashes, groups @ self.kinds.T])

    def rules(self, features: Floats) -> Floats:
        have = features[..., 2:]
        off = np.maximum(self.least - have, 0) + np.maximum(have - self.most, 0)
        found: Floats = features[..., 1].sum(axis=1) + off.sum(axis=(1, 2))
        return found

    def energy(self, features: Floats) -> Floats:
        compared = features[..., 0] * self.weights
        spread = (compared.max(axis=1) - compared.min(axis=1)) / self.unit
        found: Floats = spread + BROKEN * self.rules(features)
        return found


def searched(cut: Cut, start: Ints, seed: int) -> Ints:
    """What swapping reaches from the plain way; rules may still be broken."""
    return anneal(_Ground(cut), np.tile(start, (CHAINS, 1)), np.arange(len(cut.loads)), Plan(STEPS), seed)[0]


def solve(cut: Cut, start: Ints, limit: Limit, seed: int) -> Found:
    """The most equal parts found from the plain way, never less equal than it where it keeps the rules."""
    seats = searched(cut, start, seed)
    whole = cut.broken(seats) == 0
    if whole and cut.spread_ms(seats) <= FINE_MS:
        return Found(Way.FOUND, seats)
    return _by_solver(cut, seats if whole else None, limit, seed)


def _by_solver(cut: Cut, seats: Ints | None, limit: Limit, seed: int) -> Found:
    """What the solver makes of parts that are not yet equal, or that break a rule (None)."""
    model, sits = cpsat.new_model(), {}
    members, parts = range(len(cut.loads)), range(len(cut.sizes))
    for member in members:
        for part in parts:
            sits[member, part] = model.new_bool_var(f"{member} in {part}")
        model.add_exactly_one(sits[member, part] for part in parts)
    _keep_rules(cut, model, sits)
    spread = _spread(cut, model, sits)
    if seats is not None:
        cpsat.hint(model, ((sits[member, part], int(seats[member] == part)) for member, part in sits))
    model.minimize(spread)
    run = cpsat.run(model, replace(limit, deterministic=SOLVER * limit.deterministic), seed)
    if not run.found:
        none = Way.NONE if run.proof is cpsat.Proof.NONE else Way.UNKNOWN
        return Found(none if seats is None else Way.FOUND, np.zeros(0, np.int64) if seats is None else seats)
    made = np.array([next(part for part in parts if run.true(sits[member, part])) for member in members])
    better = seats is None or cut.spread_ms(made) < cut.spread_ms(seats)
    return Found(Way.FOUND, made if better or seats is None else seats, run.bound / cut.scale)


def _keep_rules(cut: Cut, model: Any, sits: Mapping[tuple[int, int], Any]) -> None:
    for part, size in enumerate(cut.sizes):
        model.add(sum(sits[member, part] for member in range(len(cut.loads))) == size)
        for one, other in cut.apart:
            model.add_at_most_one(sits[one, part], sits[other, part])
        for kind in cut.kinds:
            model.add_linear_constraint(sum(sits[m, part] for m in kind.members), kind.least[part], kind.most[part])


def _spread(cut: Cut, model: Any, sits: Mapping[tuple[int, int], Any]) -> Any:
    """The largest part less the smallest, in units of 1 / scale milliseconds."""
    most = sum(cut.loads) * cut.scale
    low, high = model.new_int_var(0, most, "low"), model.new_int_var(0, most, "high")
    for part, weight in enumerate(cut.weights):
        total = weight * sum(load * sits[member, part] for member, load in enumerate(cut.loads))
        model.add(low <= total)
        model.add(total <= high)
    return high - low
