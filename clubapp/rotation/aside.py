"""Long sums done in a process beside the server: threads would make the bell wait for the interpreter they share."""

from __future__ import annotations

import pickle
import subprocess
import sys
from functools import partial
from threading import BoundedSemaphore
from typing import TypeVar

from django.conf import settings

T = TypeVar("T")
AT_ONCE = BoundedSemaphore(2)
PATIENCE_SECONDS = 60


def aside(work: partial[T]) -> T:
    """What `work()` gives. Its function must be importable by name, its arguments and answer must pickle.

    Whoever asks waits; more than two at a time wait for one another.
    """
    answer: T = pickle.loads(answered(pickle.dumps(work)))
    return answer


def answered(question: bytes) -> bytes:
    """The same with both sides still pickled."""
    words = [sys.executable, "-m", "clubapp.rotation.away"]
    with AT_ONCE:
        done = subprocess.run(
            words, input=question, stdout=subprocess.PIPE, cwd=settings.BASE_DIR, timeout=PATIENCE_SECONDS, check=True
        )
    return done.stdout
