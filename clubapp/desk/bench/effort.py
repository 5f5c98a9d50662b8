"""How much a bench may cost, and what several instances say together."""

from __future__ import annotations

import json
import math
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from clubapp.engine.outcome import Outcome

T = TypeVar("T")
TINY = 1e-9  # a score of zero can still be divided by


@dataclass
class BestKnown:
    """What longer searches found for an instance, and the processor's minutes they took; kept in a file, so that hours
    of search need not be done in one go. path: None keeps nothing.
    """

    path: Path | None = None

    def of(self, instance: str) -> tuple[float, float]:
        """The best score and the minutes spent on it."""
        found = self._read().get(instance, {})
        return found.get("score", math.inf), found.get("minutes", 0.0)

    def keep(self, instance: str, score: float, minutes: float) -> None:
        if self.path:
            table = self._read() | {instance: {"score": score, "minutes": round(minutes, 2)}}
            self.path.write_text(json.dumps(dict(sorted(table.items())), indent=1) + "\n", encoding="utf-8")

    def _read(self) -> dict[str, dict[str, float]]:
        there = self.path is not None and self.path.exists()
        table: dict[str, dict[str, float]] = json.loads(self.path.read_text("utf-8")) if self.path and there else {}
        return table


@dataclass(frozen=True)
class Effort:
    """minutes: of longer search, by the processor's clock, against which each instance is held. instances: seeds of
    each size.
    """

    minutes: float = 0.05
    instances: int = 8
    known: BestKnown = field(default_factory=BestKnown)

    @property
    def seeds(self) -> range:
        return range(1, self.instances + 1)


def timed(work: Callable[[], T]) -> tuple[T, float]:
    """The answer and the seconds it took."""
    started = time.perf_counter()
    return work(), time.perf_counter() - started


def worked(work: Callable[[], T]) -> tuple[T, float]:
    """The answer and the processor's seconds, which other work on the machine does not lengthen."""
    started = time.process_time()
    return work(), time.process_time() - started


def over_best(found: Outcome[Any], goal: float, searched: Callable[[], float]) -> tuple[float, bool]:
    """How many times as much as the best a score is at most, and whether that is proven: where the bound already shows
    that the goal is met nothing is searched for.
    """
    sure = over(found.score, found.bound)
    return (sure, True) if sure <= goal else (over(found.score, searched()), False)


def longer(effort: Effort, instance: str, score: float, search: Callable[[int], float]) -> float:
    """The best of a score and of one search after another, each from another seed, until the minutes are over.

    The processor's minutes count, which other work on the machine does not shorten; the last search may run over.
    """
    best, spent = effort.known.of(instance)
    best, seed = min(score, best), 1000 + int(100 * spent)
    while spent < effort.minutes:
        started = time.process_time()
        best = min(best, search(seed))
        spent, seed = spent + (time.process_time() - started) / 60, seed + 1
        effort.known.keep(instance, best, spent)
    return best


def over(score: float, best: float) -> float:
    """How many times as much as the best."""
    return (score + TINY) / (best + TINY)


def middle(values: Iterable[float]) -> float:
    """The median."""
    row = sorted(values)
    return (row[(len(row) - 1) // 2] + row[len(row) // 2]) / 2
