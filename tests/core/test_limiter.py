"""Wrong tries are counted per purpose, address and minute."""

from __future__ import annotations

import pytest
from django.test import RequestFactory

from clubapp.core import limiter

HERE, THERE = "192.0.2.1", "192.0.2.2"


@pytest.fixture
def at(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    """The 12th second of a minute."""
    monkeypatch.setattr("time.time", lambda: 6012.0)
    return monkeypatch


def wrong(times: int, who: str = HERE) -> None:
    for _ in range(times):
        limiter.count_wrong("code", who)


def wait(who: str = HERE, purpose: str = "code") -> int:
    return limiter.seconds_to_wait(purpose, who, most=10)


def test_nine_wrong_tries_may_try_again(at: pytest.MonkeyPatch) -> None:
    wrong(9)
    assert wait() == 0


def test_ten_wrong_tries_wait_until_the_minute_is_over(at: pytest.MonkeyPatch) -> None:
    wrong(10)
    assert wait() == 48


def test_another_address_and_another_purpose_are_counted_apart(at: pytest.MonkeyPatch) -> None:
    wrong(10)
    assert wait(THERE) == 0
    assert wait(purpose="password") == 0


def test_the_next_minute_starts_afresh(at: pytest.MonkeyPatch) -> None:
    wrong(10)
    at.setattr("time.time", lambda: 6060.0)
    assert wait() == 0


def test_a_header_does_not_change_the_address(rf: RequestFactory) -> None:
    request = rf.get("/", REMOTE_ADDR=HERE, HTTP_X_FORWARDED_FOR=THERE)
    assert limiter.address(request) == HERE
