"""How much a bench may cost, and what several instances say together."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import TypeVar

from clubapp.engine.limits import Limit

T = TypeVar("T")
TINY = 1e-9  # a score of zero can still be divided by


@dataclass(frozen=True)
class Effort:
    """minutes: of longer search against which each instance is held. instances: seeds of each size."""

    minutes: float = 0.05
    instances: int = 8

    @property
    def seconds(self) -> float:
        return 60 * self.minutes

    @property
    def seeds(self) -> range:
        return range(1, self.instances + 1)


def timed(work: Callable[[], T]) -> tuple[T, float]:
    """The answer and the seconds it took."""
    started = time.perf_counter()
    return work(), time.perf_counter() - started


def longer(effort: Effort) -> Iterator[tuple[int, Limit]]:
    """Seeds and limits for one search after another until the minutes are over; the first has them all."""
    started, seed = time.perf_counter(), 1000
    while (left := effort.seconds - (time.perf_counter() - started)) > 0:
        yield seed, Limit(deterministic=60.0, wall_seconds=left)
        seed += 1


def over(score: float, best: float) -> float:
    """How many times as much as the best."""
    return (score + TINY) / (best + TINY)


def middle(values: Iterable[float]) -> float:
    """The median."""
    row = sorted(values)
    return (row[(len(row) - 1) // 2] + row[len(row) // 2]) / 2
