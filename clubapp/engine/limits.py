"""How long to think. The only module of the engine that may read a monotonic clock."""

from __future__ import annotations

import math
import os
import time
from collections.abc import Callable
from dataclasses import dataclass, field

Watch = Callable[[float, float], bool]  # the best score so far and the bound, in the topic's unit -> go on?


class Progress:
    """What a search has reached, shown to whoever watches; once they have had enough, nothing more is spent."""

    def __init__(self, watch: Watch) -> None:
        self._watch, self._enough = watch, False
        self.score, self.bound = math.inf, 0.0

    def reached(self, score: float) -> None:
        self.score = min(self.score, score)

    def proved(self, bound: float) -> None:
        self.bound = max(self.bound, min(bound, self.score))

    def ask(self) -> bool:
        """Whether to go on; asked again and again while a search runs."""
        self._enough = self._enough or not self._watch(self.score, self.bound)
        return not self._enough


@dataclass(frozen=True)
class Limit:
    """How long.

    deterministic: work units on one worker, so that the same input and seed give the same answer on any machine.
    wall_seconds: None for a deterministic limit; else wall clock and all cores decide and the answer need not repeat.
    progress: told what is reached on the way; can end a search early.
    """

    deterministic: float = 4.0
    wall_seconds: float | None = None
    progress: Progress | None = field(default=None, compare=False)

    @property
    def workers(self) -> int:
        return 1 if self.wall_seconds is None else max(2, os.cpu_count() or 1)


DEFAULT = Limit()
QUICK = Limit(deterministic=0.5)
CAREFUL = Limit(deterministic=60.0, wall_seconds=30.0)


class Stopwatch:
    """Seconds since it was made."""

    def __init__(self) -> None:
        self._start = time.monotonic()

    @property
    def seconds(self) -> float:
        return time.monotonic() - self._start


class Allowance:
    """Work that may still be done under a limit: counted, so that it repeats, or by the wall clock when careful.

    One unit of work is about a second on an ordinary machine, as the solver's own units are.
    """

    def __init__(self, limit: Limit, share: float = 1.0) -> None:
        self._watch = Stopwatch() if limit.wall_seconds is not None else None
        self._most = share * (limit.deterministic if limit.wall_seconds is None else limit.wall_seconds)
        self.spent, self.progress = 0.0, limit.progress

    def reached(self, score: float) -> None:
        if self.progress:
            self.progress.reached(score)

    def proved(self, bound: float) -> None:
        if self.progress:
            self.progress.proved(bound)

    def spend(self, units: float) -> None:
        self.spent += units

    @property
    def rest(self) -> float:
        return self._most - (self._watch.seconds if self._watch else self.spent)

    @property
    def left(self) -> bool:
        return self.rest > 0 and (self.progress is None or self.progress.ask())
