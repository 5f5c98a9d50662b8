"""How long to think. The only module of the engine that may read a monotonic clock."""

from __future__ import annotations

import os
import time
from dataclasses import dataclass


@dataclass(frozen=True)
class Limit:
    """How long.

    deterministic: work units on one worker, so that the same input and seed give the same answer on any machine.
    wall_seconds: None for a deterministic limit; else wall clock and all cores decide and the answer need not repeat.
    """

    deterministic: float = 4.0
    wall_seconds: float | None = None

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
        self._spent = 0.0

    def spend(self, units: float) -> None:
        self._spent += units

    @property
    def left(self) -> bool:
        return (self._watch.seconds if self._watch else self._spent) < self._most
