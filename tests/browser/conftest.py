"""What browser tests share: for each module a Chromium and a club of its own, served.

A module that wants another club names what fills it: FILL = "tests.browser.fill_watch".
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.chromium import browsing, put_away
from tests.browser.fill import Stage, filled
from tests.browser.phones import OPEN
from tests.browser.servers import Served

expect.set_options(timeout=30_000)  # a page on a busy machine is late, not wrong


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Closed before a test of another module runs: its event loop would stand in that one's way."""
    with browsing() as chromium:
        yield chromium


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("club")


@pytest.fixture(scope="module")
def stage(request: pytest.FixtureRequest, data: Path) -> Stage:
    return filled(data, getattr(request.module, "FILL", "tests.browser.fill"))


@pytest.fixture(scope="module")
def served(stage: Stage, data: Path) -> Iterator[Served]:
    with Served(data) as running:
        running.start()
        yield running
    assert running.broken() == []


@pytest.fixture(autouse=True)
def phones_put_away() -> Iterator[None]:
    """After every test, while their browser runs: a later module's cannot close what this one left open."""
    yield
    while OPEN:
        put_away(OPEN.pop())
