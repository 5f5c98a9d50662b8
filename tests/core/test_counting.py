"""The shared cache: a broker that is away costs the sharing, never a page or a count."""

from __future__ import annotations

import pytest

from clubapp.core import counting
from clubapp.core.counting import SharedCache
from clubapp.desk.bench.brokers import Redis, free_port, has_redis
from tests.needs import missing

OPTIONS = {"OPTIONS": {"socket_timeout": 1, "socket_connect_timeout": 1}}


def cache_at(port: int) -> SharedCache:
    return SharedCache(f"redis://127.0.0.1:{port}/0", OPTIONS)


def test_without_a_broker_the_process_counts_by_itself(caplog: pytest.LogCaptureFixture) -> None:
    cache = cache_at(free_port())
    assert cache.add("tries", 0, 60)
    assert [cache.incr("tries"), cache.incr("tries")] == [1, 2]
    cache.set_many({"heard.a": 1.5, "heard.b": 2.5}, 60)
    assert cache.get_many(["heard.a", "heard.b", "heard.c"]) == {"heard.a": 1.5, "heard.b": 2.5}
    assert cache.get("nothing", 7) == 7
    assert len(caplog.records) == 1, "said once, not at every count"


def test_a_count_begun_with_the_broker_goes_on_without_it() -> None:
    assert cache_at(free_port()).incr("begun") == 1


def test_two_processes_count_together_again_once_the_broker_is_back(monkeypatch: pytest.MonkeyPatch) -> None:
    if not has_redis():
        missing("a shared count needs Redis (Debian: apt install redis-server)")
    monkeypatch.setattr(counting, "AWAY_S", 0.0)
    with Redis() as broker:
        one, other = cache_at(broker.port), cache_at(broker.port)
        one.add("tries", 0, 60)
        assert (one.incr("tries"), other.incr("tries")) == (1, 2)
        broker.kill()
        assert one.incr("tries") == 1
        broker.start()
        one.set("tries", 5, 60)
        assert other.incr("tries") == 6
