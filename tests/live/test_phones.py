"""The clock on many phones, its own scripts in a simulated network: how far the figures are from the server's time."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from clubapp.desk.bench import phones
from clubapp.desk.bench.phones import Hour, simulated
from tests.browser.chromium import find_chromium

HOUR = Hour(phones=20, minutes=10)


def hour(**more: Any) -> dict[str, Any]:
    return simulated(replace(HOUR, **more), find_chromium())


@pytest.fixture(scope="module")
def measured(big: bool) -> dict[str, Any]:
    return hour(phones=200, minutes=60) if big else hour()


def test_the_figures_are_within_30_ms_and_never_over_150(measured: dict[str, Any]) -> None:
    assert measured["p95_ms"] <= 30
    assert measured["worst_ms"] <= 150


def test_no_figure_counts_up_and_none_is_shown_on_waking(measured: dict[str, Any]) -> None:
    assert (measured["counted_up"], measured["shown_on_waking"]) == (0, 0)
    assert measured["naps"] == measured["phones"] / 2


def test_digits_are_there_nearly_all_the_time(measured: dict[str, Any]) -> None:
    awake_looks = measured["phones"] * measured["minutes"] * 60 * 4 * 0.6
    assert measured["looks"] > awake_looks
    assert measured["blank_share"] < 0.01


def test_the_measure_would_show_a_clock_that_is_off() -> None:
    """On a network five times as slow no clock can hold what is asked."""
    assert hour(phones=8, more_ms=250)["p95_ms"] > 30


def test_the_same_lot_gives_the_same_figures() -> None:
    assert hour(phones=3) == hour(phones=3)
    assert hour(phones=3) != hour(phones=3, seed=2)


def test_where_there_is_no_chromium_the_bench_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(phones, "find_chromium", lambda: None)
    assert phones.row(HOUR).figures == {"measured": "no Chromium found"}
