"""Two server processes that hear one another over Redis, and what phones and the register do without it.

Where the tests run on PostgreSQL, so do these servers.
"""

from __future__ import annotations

import asyncio
import json
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from typing import Any
from urllib.parse import urlencode, urlsplit

import pytest
from django.conf import settings
from websockets.asyncio.client import ClientConnection, connect
from websockets.exceptions import ConnectionClosed

from clubapp.desk import folder
from clubapp.desk.bench.brokers import Redis, has_redis
from clubapp.desk.bench.fanout import process
from tests.needs import missing

TOKEN = "t" * 32  # a form's and a cookie's token need only be the same
IDLE_S = 8  # a client library of the broker once ended idle sockets after five


@pytest.fixture(scope="module")
def redis() -> Iterator[Redis]:
    if not has_redis():
        missing("two processes need Redis (Debian: apt install redis-server)")
    with Redis() as running:
        yield running


@contextmanager
def tables() -> Iterator[dict[str, str]]:
    """The servers' setting for a PostgreSQL database of their own; none for their folder's SQLite file."""
    if not settings.POSTGRES:
        yield {}
        return
    import psycopg
    from psycopg.sql import SQL, Identifier

    server, name = urlsplit(settings.POSTGRES), f"two_{uuid.uuid4().hex}"
    with psycopg.connect(server._replace(path="/postgres").geturl(), autocommit=True) as link:
        link.execute(SQL("CREATE DATABASE {}").format(Identifier(name)))
        try:
            yield {"FIELDBELL_POSTGRES": server._replace(path=f"/{name}").geturl()}
        finally:
            link.execute(SQL("DROP DATABASE {} WITH (FORCE)").format(Identifier(name)))


@pytest.fixture(scope="module")
def stages(redis: Redis, tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[dict[str, Any]]]:
    """One session on two processes."""
    with tables() as where:
        data = tmp_path_factory.mktemp("two")
        folder.begin(data)
        extra = {"FIELDBELL_REDIS": redis.url, "FIELDBELL_DATA": str(data), **where}
        with process("stage", extra) as one, process("second", extra) as other:
            yield [json.loads(one), json.loads(one) | json.loads(other)]


def phone(stage: dict[str, Any]) -> connect:
    home = f"127.0.0.1:{stage['port']}"
    headers = {"Origin": f"http://{home}", "Cookie": f"{settings.SESSION_COOKIE_NAME}={stage['key']}"}
    return connect(f"ws://{home}/ws/bell/{stage['session']}/", additional_headers=headers)


async def hear(line: ClientConnection, kind: str, least: int = 0) -> dict[str, Any]:
    """The next message of a kind, of a version at least."""
    async with asyncio.timeout(15):
        while True:
            message: dict[str, Any] = json.loads(await line.recv())
            if message["type"] == kind and message.get("version", 0) >= least:
                return message


def mark(stage: dict[str, Any], kind: str = "here") -> int:
    """A coach's tap on the register; the status."""
    link = HTTPConnection("127.0.0.1", stage["port"], timeout=60)
    cookies = f"{settings.SESSION_COOKIE_NAME}={stage['key']}; {settings.CSRF_COOKIE_NAME}={TOKEN}"
    headers = {"Cookie": cookies, "Accept": "application/json", "Content-Type": "application/x-www-form-urlencoded"}
    fields = {"op_id": uuid.uuid4(), "athlete": stage["children"][0], "kind": kind, "csrfmiddlewaretoken": TOKEN}
    try:
        link.request("POST", f"/register/{stage['session']}/mark/", urlencode(fields), headers)
        return link.getresponse().status
    finally:
        link.close()


async def test_what_one_process_hears_reaches_the_phones_of_the_other(stages: list[dict[str, Any]]) -> None:
    async with phone(stages[0]) as here, phone(stages[1]) as there:
        version = (await hear(here, "bell"))["version"]
        seen = await hear(there, "bell")
        tap = {"type": "command", "op_id": str(uuid.uuid4()), "kind": "add", "seconds": 1, "seen": seen["state"]["seq"]}
        await there.send(json.dumps(tap))
        assert (await hear(there, "answer"))["accepted"]
        bells = [await hear(line, "bell", version + 1) for line in (here, there)]
        assert bells[0]["state"] == bells[1]["state"]
        assert await asyncio.to_thread(mark, stages[0]) == 200
        hints = [await hear(line, "hint") for line in (here, there)]
        assert hints[0] == hints[1] == {"type": "hint", "what": "register", "version": bells[0]["version"] + 1}


async def test_an_idle_socket_lives(stages: list[dict[str, Any]]) -> None:
    async with phone(stages[0]) as line:
        await hear(line, "bell")
        with pytest.raises(TimeoutError):
            await asyncio.wait_for(line.recv(), IDLE_S)
        assert await asyncio.to_thread(mark, stages[1], "late") == 200
        assert (await hear(line, "hint"))["what"] == "register"


async def test_without_redis_marks_are_kept_and_phones_come_back_to_all_they_missed(
    stages: list[dict[str, Any]], redis: Redis
) -> None:
    async with phone(stages[1]) as line:
        version = (await hear(line, "bell"))["version"]
        redis.kill()
        try:
            with pytest.raises(ConnectionClosed) as closed:
                await hear(line, "nothing of the kind")
            assert closed.value.rcvd is not None
            assert closed.value.rcvd.code == 1012
            assert await asyncio.to_thread(mark, stages[0], "absent") == 200
            assert await asyncio.to_thread(mark, stages[1], "here") == 200
        finally:
            redis.start()
    async with phone(stages[1]) as line:
        assert (await hear(line, "bell"))["version"] == version + 2
        assert await asyncio.to_thread(mark, stages[0], "late") == 200
        assert (await hear(line, "hint"))["version"] == version + 3
