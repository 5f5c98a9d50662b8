"""Chances are an integral: they agree with closed forms, with each other, and with many races drawn."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import runners as engine
from clubapp.engine.ability import Prediction
from clubapp.engine.runners import Race, Runner, quicker, upper_tail
from tests.strategies import examples, runners

FIELDS = st.builds(runners, st.integers(2, 10), st.integers(0, 999))


def test_milliseconds_of_the_middle_run() -> None:
    assert Runner("a", Prediction(math.log(6.5), 0.1, 0.05)).ms == 6500


@pytest.mark.parametrize("spread", [0.0, math.inf, math.nan])
def test_a_runner_without_a_spread_is_refused(spread: float) -> None:
    with pytest.raises(ValueError, match="spread"):
        Runner("a", Prediction(1.9, spread, 0.0))


def test_a_tail_is_the_normal_s() -> None:
    points = np.linspace(-6, 6, 997)
    exact = [0.5 * math.erfc(point / math.sqrt(2)) for point in points]
    assert np.abs(upper_tail(points) - exact).max() < 4e-8


@given(FIELDS, st.booleans())
@examples(8)
def test_somebody_is_first(field: tuple[Runner, ...], on_log: bool) -> None:
    chances = Race(field, on_log).chances([0.0] * len(field))
    assert chances.sum() == pytest.approx(1.0, abs=1e-5)
    assert (chances >= 0).all()


@given(FIELDS)
@examples(8)
def test_two_from_one_line_are_the_closed_form(field: tuple[Runner, ...]) -> None:
    pair = field[:2]
    expected = quicker(pair[0].likely, pair[1].likely)
    for on_log in (False, True):
        assert Race(pair, on_log).chances([0.0, 0.0])[0] == pytest.approx(expected, abs=1e-5)


def test_chances_agree_with_many_races_drawn() -> None:
    field, lot = runners(6, 4), np.random.default_rng(1)
    starts = np.array([0.0, 0.4, 1.0, 0.2, 0.8, 0.1])
    means = np.array([one.likely.log_mean for one in field])
    sds = np.array([one.likely.log_sd for one in field])
    finishes = starts + np.exp(means + sds * lot.normal(size=(200_000, 6)))
    drawn = np.bincount(finishes.argmin(axis=1), minlength=6) / 200_000
    assert np.abs(drawn - Race(field).chances(starts)).max() < 0.005


@given(FIELDS, st.booleans())
@examples(8)
def test_equal_starts_give_equal_chances(field: tuple[Runner, ...], on_log: bool) -> None:
    race = Race(field, on_log)
    starts = race.equal_starts()
    assert race.chances(starts) == pytest.approx([1 / len(field)] * len(field), abs=1e-5)


@given(FIELDS)
@examples(6)
def test_a_common_shift_changes_nothing(field: tuple[Runner, ...]) -> None:
    race = Race(field)
    assert race.chances([3.0] * len(field)) == pytest.approx(race.chances([0.0] * len(field)), abs=1e-6)


def test_level_starts_bring_the_likely_times_home_together() -> None:
    field = runners(5, 2)
    home = Race(field).level_starts() + [one.likely.median_s for one in field]
    assert home == pytest.approx([home[0]] * 5)
    assert Race(field, on_log=True).level_starts() + [one.likely.log_mean for one in field] == pytest.approx(
        [max(one.likely.log_mean for one in field)] * 5
    )
    assert min(Race(field).level_starts()) == 0


def test_a_late_start_is_hopeless() -> None:
    assert Race(runners(3, 1)).chances([0.0, 0.0, 30.0])[2] < 1e-6


def test_the_search_gives_up_where_no_step_helps(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engine, "CLOSE", 0.0)
    race = Race(runners(3, 1))
    assert race.chances(race.equal_starts()) == pytest.approx([1 / 3] * 3, abs=1e-5)
