"""Children in a race: what each is likely to run, and how likely each is to be first.

A finish is start + exp(m + s·z) on the clock, or, where the head start is in metres, shift + m + s·z on the logarithm
of time. The chance of being first is an integral and no simulation:

    P(i first) = ∫ fᵢ(x) · Π over j ≠ i of Sⱼ(x) dx

with fᵢ the density of i's finish and Sⱼ the chance that j is still running at x. It is the gradient of the mean of the
earliest finish, which is concave in the starts, so that starts with equal chances exist, are unique up to a common
shift, and are found by Newton's method.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from clubapp.engine.ability import Prediction

Floats = NDArray[np.float64]
FAR = 8.0  # standard deviations beyond which nobody runs
FINE = 0.5  # of the narrowest spread is a step of the integral; the trapezoid's error falls as exp(-2(π/FINE)²)
MOST_STEPS = 8000
TINY = 1e-290
CLOSE = 1e-6


@dataclass(frozen=True)
class Runner:
    """A child and the child's likely time over the distance that is run."""

    id: str
    likely: Prediction

    def __post_init__(self) -> None:
        if not (math.isfinite(self.likely.log_mean) and 0 < self.likely.log_sd < math.inf):
            raise ValueError(f"{self.id} needs a likely time and a spread above 0")

    @property
    def ms(self) -> int:
        """The time half of the runs are quicker than, in whole milliseconds."""
        return round(1000 * self.likely.median_s)


@dataclass(frozen=True)
class Race:
    """on_log: head starts change the logarithm of time (metres), else the clock (seconds)."""

    runners: tuple[Runner, ...]
    on_log: bool = False

    def chances(self, starts: Sequence[float] | Floats) -> Floats:
        """Each runner's chance of being first, in the runners' order. starts: seconds, or shifts of log(time)."""
        return self._first(np.asarray(starts, dtype=float))[0]

    def level_starts(self) -> Floats:
        """Starts with which all would finish together if each ran the likely time; the slowest starts at 0."""
        means = np.array([runner.likely.log_mean for runner in self.runners])
        found: Floats = means.max() - means if self.on_log else np.exp(means.max()) - np.exp(means)
        return found

    def equal_starts(self) -> Floats:
        """Starts with which each has the same chance of being first; not rounded."""
        starts = self.level_starts()
        wanted = 1.0 / len(starts)
        found, slopes = self._first(starts)
        for _ in range(60):
            if float(np.abs(found - wanted).max()) < CLOSE:
                break
            step: Floats = np.linalg.lstsq(slopes, wanted - found, rcond=None)[0].astype(np.float64)
            starts, found, slopes = self._downhill(starts, step, float(np.abs(found - wanted).max()))
        return starts

    def _downhill(self, starts: Floats, step: Floats, worst: float) -> tuple[Floats, Floats, Floats]:
        """As much of Newton's step as brings the chances nearer to each other."""
        share = 1.0
        while True:
            tried = starts + share * step
            found, slopes = self._first(tried)
            if float(np.abs(found - 1.0 / len(found)).max()) < worst or share < 1e-6:
                return tried, found, slopes
            share /= 2

    def _first(self, starts: Floats) -> tuple[Floats, Floats]:
        """The chances, and how each changes with each start."""
        means = np.array([runner.likely.log_mean for runner in self.runners])[:, None]
        sds = np.array([runner.likely.log_sd for runner in self.runners])[:, None]
        x, width = self._points(starts, means[:, 0], sds[:, 0])
        if self.on_log:
            z, stretch = (x - starts[:, None] - means) / sds, sds
        else:
            past = np.maximum(x - starts[:, None], TINY)
            z, stretch = (np.log(past) - means) / sds, sds * past
        density = np.exp(-0.5 * z * z) / (math.sqrt(2 * math.pi) * stretch)
        running = np.maximum(upper_tail(z), TINY)
        hazard = density / running
        left = np.exp(np.log(running).sum(axis=0)) * width
        slopes = (hazard * left) @ hazard.T
        np.fill_diagonal(slopes, 0.0)
        np.fill_diagonal(slopes, -slopes.sum(axis=1))
        return (hazard * left).sum(axis=1), slopes

    def _points(self, starts: Floats, means: Floats, sds: Floats) -> tuple[Floats, float]:
        """Where the integral is taken: from the earliest possible finish to where somebody is surely home."""
        low, high, near = means - FAR * sds, means + FAR * sds, sds
        if not self.on_log:
            low, high, near = np.exp(low), np.exp(high), sds * np.exp(means - sds)
        first, last = float((starts + low).min()), float((starts + high).min())
        steps = min(MOST_STEPS, max(64, math.ceil((last - first) / (FINE * float(near.min())))))
        return np.linspace(first, last, steps + 1), (last - first) / steps


def quicker(one: Prediction, other: Prediction) -> float:
    """The chance that one beats the other when both start together: Φ of the difference over its spread."""
    spread = math.hypot(one.log_sd, other.log_sd)
    return 0.5 * math.erfc((one.log_mean - other.log_mean) / (spread * math.sqrt(2)))


def upper_tail(z: Floats) -> Floats:
    """1 − Φ(z), by a line between points 0.001 apart: off by 4e-8 at most."""
    points, values = _tail_table()
    found: Floats = np.interp(z, points, values)
    return found


@cache
def _tail_table() -> tuple[Floats, Floats]:
    points = np.linspace(-9.0, 9.0, 18001)
    return points, np.array([0.5 * math.erfc(point / math.sqrt(2)) for point in points])
