"""The matrices of the ability model, by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from clubapp.engine import ability_model as model
from clubapp.engine.ability_model import PRIORS, Child, Priors, Result

ROWS = [Result("a", "box", 300, 12.0), Result("a", "40 m", 0, 7.0), Result("b", "40 m", 0, 8.0)]
KIDS = [Child("a", born=-4018, estimate=1.0)]  # eleven years and a quarter of a day before day 0


def test_effects_are_trial_years_from_eleven_squared_and_estimate() -> None:
    data = model.prepare(ROWS, KIDS, PRIORS)
    assert data.trials == ("40 m", "box")
    years = [(day + 4018) / 365.25 - 11 for day in (0, 300)]
    expected = [[1, 0, years[0], years[0] ** 2, 1], [0, 1, years[1], years[1] ** 2, 1]]
    assert data.blocks["a"].x == pytest.approx(np.array(expected))
    assert data.blocks["a"].y == pytest.approx([math.log(7), math.log(12)])


def test_who_is_not_known_has_the_mean_age_and_more_variance() -> None:
    data = model.prepare(ROWS, KIDS, PRIORS)
    assert data.blocks["b"].x[0, 2] == pytest.approx(data.mean_age - model.MIDDLE_AGE)
    assert data.blocks["a"].blind == 0
    assert data.blocks["b"].blind == pytest.approx((0.045 * model.AGE_SPREAD) ** 2 + 0.04**2)
    assert model.prepare(ROWS, (), PRIORS).mean_age == model.MIDDLE_AGE


def test_kernels_share_the_child_the_trial_and_what_has_not_faded() -> None:
    data = model.prepare(ROWS, KIDS, PRIORS)
    child, own, form, noise = model.kernels(data, data.blocks["a"])
    assert child.tolist() == [[1, 1], [1, 1]]
    assert own.tolist() == noise.tolist() == [[1, 0], [0, 1]]
    assert form[0, 1] == pytest.approx(math.exp(-300 / model.FADE_DAYS))


def test_a_child_nobody_timed_has_an_empty_block() -> None:
    block = model.prepare(ROWS, KIDS, PRIORS).block_of(Child("c"))
    assert block.x.shape == (0, 5)
    assert block.y.shape == (0,)


def test_plain_reml_has_two_variances_and_one_noise() -> None:
    data = model.prepare(ROWS, KIDS, Priors.none())
    assert data.parts == ("child", "noise")
    assert model.noise_of(data, np.log([0.5, 0.25]), "box") == pytest.approx(0.25)
    assert len(model.kernels(data, data.blocks["a"])) == 2


def test_priors_are_flat_for_the_trials_and_named_for_the_rest() -> None:
    beliefs = model.prepare(ROWS, KIDS, PRIORS).beliefs
    assert [belief.sd for belief in beliefs[:2]] == [math.inf, math.inf]
    assert beliefs[2:] == (PRIORS.slope, PRIORS.curve, PRIORS.estimate)


@pytest.mark.parametrize("seconds", [0.0, -1.0, math.inf, math.nan])
def test_results_that_are_none_are_refused(seconds: float) -> None:
    with pytest.raises(ValueError, match="above 0 seconds"):
        model.prepare([Result("a", "box", 0, seconds)], KIDS, PRIORS)
    with pytest.raises(ValueError, match="no results"):
        model.prepare([], KIDS, PRIORS)


def test_what_is_asked_has_the_effects_of_a_result_on_that_day() -> None:
    data = model.prepare(ROWS, KIDS, PRIORS)
    asked = model.row(data, KIDS[0], "box", 300)
    assert asked.x == pytest.approx(data.blocks["a"].x[1])
    assert (asked.trial, asked.day) == (1, 300.0)
    unknown = model.row(data, Child("c"), "40 m", 0)
    assert unknown.x[2] == pytest.approx(data.mean_age - model.MIDDLE_AGE)


def test_a_trial_may_have_a_noise_of_its_own() -> None:
    data = model.prepare(ROWS, KIDS, PRIORS)
    theta = np.log([0.5, 0.1, 0.2, 0.25, 2.0, 3.0])
    assert data.parts == ("child", "own", "form", "noise", "40 m", "box")
    assert model.noise_of(data, theta, "box") == pytest.approx(0.75)


def test_a_level_shares_the_child_its_trial_and_what_has_not_faded() -> None:
    data = model.prepare(ROWS, KIDS, PRIORS)
    theta = np.log([0.5, 0.1, 0.2, 0.25, 1.0, 1.0])
    shared, own = model.covariance_with(data, theta, data.blocks["a"], model.row(data, KIDS[0], "box", 300))
    assert shared == pytest.approx([0.5 + 0.2 * math.exp(-300 / model.FADE_DAYS), 0.8])
    assert own == pytest.approx(0.8)
