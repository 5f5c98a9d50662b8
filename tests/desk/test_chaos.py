"""Phones on a bad network while the server is killed: nothing lost, nothing twice, the register equal everywhere."""

from __future__ import annotations

import asyncio
from collections import Counter
from unittest.mock import AsyncMock

import pytest

from clubapp.desk.bench.chaos import run
from clubapp.desk.bench.chaos.run import SHORT, Chaos, Plan
from clubapp.desk.chromium import Browser
from tests.browser.chromium import find_chromium

KINDS = ("mark", "undo", "collection", "absence note", "new child", "head-count", "incident note", "time")


@pytest.fixture
def plan(big: bool) -> Plan:
    find_chromium()
    return Plan() if big else SHORT


def test_nothing_is_lost_and_nothing_is_taken_twice(plan: Plan, big: bool) -> None:
    told = asyncio.run(Chaos(plan).run())
    assert (told["phones"], told["pages"]) == (plan.phones - 2, 2)
    assert told["unsettled"] == "nothing"
    assert (told["operations"] >= plan.operations, told["kills"]) == (True, plan.kills)
    assert told["writes_made"] > plan.operations / 2
    unmade = [kind for kind in KINDS if kind not in told["kinds_made"]]
    assert len(unmade) <= (0 if big else 1), told["kinds_made"]  # two hundred draws may leave a rare one out
    assert min(told[f"messages_{fate}"] for fate in ("lost", "late", "doubled", "swapped")) > 0
    wrong = ("lost", "never_sent", "twice", "refused", "registers_unequal", "children_too_many")
    wrong += ("commands_lost", "commands_twice", "broken_pages")
    assert {name: told[name] for name in wrong} == dict.fromkeys(wrong, 0), told["refused_first"]
    assert told["commands_confirmed"] > 0
    assert told["bell_error_worst_ms"] >= 0


async def test_what_is_never_settled_is_given_up_and_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run, "SETTLE_S", 0.05)
    chaos = Chaos(Plan(operations=10, kills=2, limit_s=5), done=9, killed=2)

    async def waiting() -> Counter[str]:
        return Counter({"phone 3": 2})

    async def no_answer() -> Counter[str]:
        return await asyncio.get_running_loop().create_future()

    chaos.waiting = await chaos.until_none(waiting)
    chaos.unequal = await chaos.until_none(no_answer)
    told = chaos.unsettled().split("; ")
    assert told[:2] == ["9 of 10 taps, 2 of 2 kills after 5 s", "2 writes wait on phone 3"]
    assert told[2] == "a phone that does not answer shows 1 children otherwise"


async def test_a_limit_that_ends_as_the_browser_answers_is_kept() -> None:
    """A page once was asked for ever: the limit had been spent on an answer."""
    browser = Browser(AsyncMock())
    asking = asyncio.ensure_future(browser.ask("Page.navigate"))
    while not browser.waiting:
        await asyncio.sleep(0)
    await asyncio.sleep(0)
    browser.waiting[1].set_result({"result": {}})
    asking.cancel()
    with pytest.raises(asyncio.CancelledError):
        await asking
    browser.reading.cancel()
