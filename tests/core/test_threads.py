"""Threads that keep their connection, and what of it they do not keep."""

from __future__ import annotations

import asyncio
import threading
from contextlib import suppress

import pytest
from django.db import OperationalError, connection

from clubapp.core import threads
from clubapp.core.threads import in_database

pytestmark = [pytest.mark.django_db(transaction=True)]


def asked() -> tuple[int, int]:
    """Which thread this is, and which connection it asks."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return threading.get_ident(), id(connection.connection)


async def test_a_connection_is_opened_once() -> None:
    first = await in_database(asked)()
    assert first[0] != threading.get_ident()
    kept = dict([first, *[await in_database(asked)() for _ in range(20)]])
    again = [await in_database(asked)() for _ in range(20)]
    if connection.vendor == "sqlite":
        assert all(kept.get(thread, link) == link for thread, link in again)


async def test_a_connection_that_failed_is_not_used_again() -> None:
    def fails() -> None:
        with connection.cursor() as cursor:
            cursor.execute("SELECT nothing FROM nowhere")

    def is_open() -> tuple[int, bool]:
        return threading.get_ident(), connection.connection is not None

    def failed() -> tuple[int, bool]:
        with suppress(OperationalError):
            fails()
        threads._tidy()
        return is_open()

    if connection.vendor == "sqlite":
        assert (await in_database(failed)())[1] is False
    assert (await in_database(asked)())[1]


async def test_one_that_waits_holds_up_nobody() -> None:
    go = threading.Event()
    waits = asyncio.ensure_future(in_database(go.wait)(30))
    try:
        await asyncio.wait_for(in_database(asked)(), 30)
        assert not waits.done()
    finally:
        go.set()
    assert await waits
