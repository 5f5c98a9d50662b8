"""The long search itself, in a process of its own."""

from __future__ import annotations

import logging
import math
import time
from dataclasses import replace

from clubapp.engine import groups as engine_groups
from clubapp.engine import limits
from clubapp.engine.limits import Limit, Progress
from clubapp.rotation.actions import RefusedError, searches
from clubapp.rotation.models import Think

TELL_SECONDS = 1.0  # between two looks at whether the coach has had enough
log = logging.getLogger(__name__)


def work(limit: Limit = limits.CAREFUL) -> int:
    """Search for whoever waits, one after another, until nobody does. How many searches were done."""
    done = 0
    while think := searches.claim():
        search(think, limit)
        done += 1
    return done


def search(think: Think, limit: Limit = limits.CAREFUL) -> None:
    """One search from its row to its end. A mistake of ours ends it too: the page must not wait for ever."""
    try:
        job = searches.job_of(think)
        watched = replace(limit, progress=Progress(Pulse(think)))
        found = engine_groups.solve(job.problem, limit=watched, seed=job.task.seed, start=job.start)
        searches.finish(job=job, found=found)
    except RefusedError:
        searches.give_up(think=think)
    except Exception:
        log.exception("a long search failed")
        searches.give_up(think=think)


class Pulse:
    """Writes down how far the search is, now and then, and reads whether it is to go on."""

    def __init__(self, think: Think) -> None:
        self._think_id, self._due = think.pk, 0.0

    def __call__(self, score: float, bound: float) -> bool:
        if time.monotonic() < self._due:
            return True
        self._due = time.monotonic() + TELL_SECONDS
        reached = score if math.isfinite(score) else None
        return searches.hear(think_id=self._think_id, score=reached, bound=bound)
