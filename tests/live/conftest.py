"""What tests of the scripts share: a Chromium for each module, and a page for each test."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.chromium import browsing
from tests.live.browser import fresh


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with browsing() as found:
        yield found


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """One each: listeners of a story before must not hear this one."""
    found = fresh(browser)
    yield found
    found.close()
