"""Only our own pages may open a socket."""

from __future__ import annotations

from typing import Any

import pytest
from channels.testing import WebsocketCommunicator
from pytest_django.fixtures import Settings

from clubapp.core.origins import SameOrigin

OURS, FOREIGN = "club.example", "evil.example"


@pytest.fixture(autouse=True)
def hosts(settings: Settings) -> None:
    settings.ALLOWED_HOSTS = [OURS, "192.0.2.7"]
    settings.CSRF_TRUSTED_ORIGINS = []


async def door(scope: Any, receive: Any, send: Any) -> None:
    await receive()
    await send({"type": "websocket.accept"})
    await receive()


async def opened(headers: list[tuple[bytes, bytes]]) -> bool:
    socket = WebsocketCommunicator(SameOrigin(door), "/ws/", headers=headers)
    connected, _code = await socket.connect()
    await socket.disconnect() if connected else await socket.wait()
    return bool(connected)


@pytest.mark.parametrize(
    ("origin", "host"),
    [(f"https://{OURS}", OURS), (f"http://{OURS}:8000", f"{OURS}:8000"), ("http://192.0.2.7:8000", "192.0.2.7:8000")],
)
async def test_a_page_of_ours_gets_in(origin: str, host: str) -> None:
    assert await opened([(b"origin", origin.encode()), (b"host", host.encode())])


@pytest.mark.parametrize(
    ("origin", "host"),
    [
        (f"https://{FOREIGN}", OURS),
        (f"https://{OURS}.{FOREIGN}", OURS),
        (f"http://{OURS}:9000", f"{OURS}:8000"),
        (f"https://{FOREIGN}", FOREIGN),
        ("null", OURS),
        ("", OURS),
    ],
)
async def test_any_other_page_is_turned_away(origin: str, host: str) -> None:
    assert not await opened([(b"origin", origin.encode()), (b"host", host.encode())])


async def test_no_origin_at_all_is_turned_away() -> None:
    assert not await opened([(b"host", OURS.encode())])


async def test_a_wildcard_among_the_hosts_opens_nothing(settings: Settings) -> None:
    settings.ALLOWED_HOSTS = ["*"]
    assert not await opened([(b"origin", f"https://{FOREIGN}".encode()), (b"host", FOREIGN.encode())])


async def test_the_public_address_gets_in_behind_a_proxy(settings: Settings) -> None:
    settings.CSRF_TRUSTED_ORIGINS = [f"https://{OURS}"]
    assert await opened([(b"origin", f"https://{OURS}".encode()), (b"host", b"127.0.0.1:8000")])
