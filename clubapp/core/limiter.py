"""Counts tries per address and minute, so that a short code cannot be guessed."""

from __future__ import annotations

import time

from django.core.cache import cache
from django.http import HttpRequest


def address(request: HttpRequest) -> str:
    """The address the server saw; a proxy's own setting decides what that is."""
    return str(request.META.get("REMOTE_ADDR", ""))


def seconds_to_wait(purpose: str, who: str, *, most: int, per_seconds: int = 60) -> int:
    """0 while fewer than `most` wrong tries were counted in this minute, else the seconds until the next."""
    now = int(time.time())
    tries = cache.get(f"tries:{purpose}:{who}:{now // per_seconds}", 0)
    return per_seconds - now % per_seconds if tries >= most else 0


def count_wrong(purpose: str, who: str, *, per_seconds: int = 60) -> None:
    """Count one wrong try."""
    key = f"tries:{purpose}:{who}:{int(time.time()) // per_seconds}"
    cache.add(key, 0, per_seconds * 2)
    cache.incr(key)
