"""For what sockets ask of the database: threads that keep their connection, because to open one costs more than most
questions do, and every phone waits for what the leader's tap asks.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any, ParamSpec, TypeVar

from asgiref.sync import SyncToAsync
from django.db import connections

P = ParamSpec("P")
T = TypeVar("T")

AT_ONCE = 8  # more only wait for one another at the database
_threads = ThreadPoolExecutor(AT_ONCE, thread_name_prefix="socket")


def in_database(call: Callable[P, T]) -> Callable[P, Awaitable[T]]:
    """Run in one of these threads: a command that waits for its turn to write must not hold up every phone's pong."""
    return _InThread(call, thread_sensitive=False, executor=_threads)


class _InThread(SyncToAsync[P, T]):
    def thread_handler(self, *args: Any, **kwargs: Any) -> Any:
        try:
            return super().thread_handler(*args, **kwargs)  # type: ignore[no-untyped-call]
        finally:
            _tidy()


def _tidy() -> None:
    """A connection that failed is not used again; one of PostgreSQL's goes back to the pool that others wait for."""
    for connection in connections.all(initialized_only=True):
        if connection.vendor != "sqlite" or connection.errors_occurred:
            connection.close()
