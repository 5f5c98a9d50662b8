"""How long to think. The only module of the engine that may read a monotonic clock."""

from __future__ import annotations

import os
import time
from dataclasses import dataclass


@dataclass(frozen=True)
class Limit:
    """How much a solver may work.

    deterministic: solver work units on one worker, so that the same input and seed give the same answer on any machine.
    wall_seconds: None for a deterministic limit; otherwise the wall clock and all cores decide and the answer need not
        repeat.
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
