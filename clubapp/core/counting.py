"""A cache that several processes share, and that does without while its broker is away.

It counts wrong tries and remembers who was heard. A page must not fail because that cannot be shared for a while: each
process then counts by itself.
"""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from typing import Any

from django.core.cache.backends.locmem import LocMemCache
from django.core.cache.backends.redis import RedisCache
from redis.exceptions import ConnectionError as NoConnection
from redis.exceptions import TimeoutError as NoAnswer

log = logging.getLogger(__name__)
AWAY_S = 5.0  # so long a broker that did not answer is not asked again
_asked_again_at: dict[str, float] = {}  # by server: each thread has a cache object of its own


def _shared(name: str) -> Callable[..., Any]:
    """The cache's method of this name, by the broker where it answers."""

    def either(self: SharedCache, *args: Any, **more: Any) -> Any:
        if time.monotonic() >= _asked_again_at.get(self.server, 0.0):
            try:
                return getattr(super(SharedCache, self), name)(*args, **more)
            except (NoConnection, NoAnswer):
                _asked_again_at[self.server] = time.monotonic() + AWAY_S
                log.warning("shared cache unavailable: this process counts by itself for now")
        if name == "incr":
            self.own.add(args[0], 0)  # what was counted while the broker was there is not known here
        return getattr(self.own, name)(*args, **more)

    return either


class SharedCache(RedisCache):
    """Redis; this process's own memory while Redis is away."""

    def __init__(self, server: str, params: dict[str, Any]) -> None:
        super().__init__(server, params)
        self.server = server
        self.own = LocMemCache(f"without {server}", {})

    add, get, set, delete = _shared("add"), _shared("get"), _shared("set"), _shared("delete")
    get_many, set_many, incr, clear = _shared("get_many"), _shared("set_many"), _shared("incr"), _shared("clear")
