from __future__ import annotations

import math

import pytest

from clubapp.engine.ability import Prediction
from clubapp.engine.handicap_update import Rule, Update

KNOWN = Prediction(math.log(7.0), math.hypot(0.03, 0.02), 0.02)
NEW = Prediction(math.log(7.0), math.hypot(0.03, 0.15), 0.15)


@pytest.mark.parametrize("seconds", [0.0, -1.0, math.inf, math.nan])
def test_a_time_is_above_0(seconds: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        Update().after(KNOWN, seconds)


def test_the_less_is_known_the_more_a_run_counts() -> None:
    known, new = Update().after(KNOWN, 7.2), Update().after(NEW, 7.2)
    assert 7.0 < known.median_s < new.median_s < 7.2
    assert known.level_sd < KNOWN.level_sd
    assert new.level_sd < 0.03


def test_the_filter_is_the_mean_of_all_runs_where_nothing_drifts_and_nothing_was_known() -> None:
    likely, runs = Prediction(math.log(7.0), math.hypot(0.03, 50.0), 50.0), [7.1, 7.3, 6.9, 7.2]
    for run in runs:
        likely = Update(drift=0.0).after(likely, run)
    assert likely.log_mean == pytest.approx(sum(map(math.log, runs)) / 4, abs=1e-6)
    assert likely.level_sd == pytest.approx(0.03 / 2, abs=1e-6)


def test_half_way_is_half_way() -> None:
    after = Update(Rule.HALF_WAY).after(KNOWN, 7.1)
    assert after.log_mean == pytest.approx((math.log(7.0) + math.log(7.1)) / 2)
    assert after.level_sd**2 == pytest.approx((0.02**2 + 0.005**2) / 4 + 0.03**2 / 4)


def test_a_fall_counts_as_a_slow_run_only() -> None:
    assert Update().after(KNOWN, 70.0) == Update().after(KNOWN, 30.0)
    assert Update().after(KNOWN, 0.7) == Update().after(KNOWN, 3.0)
