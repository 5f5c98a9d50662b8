"""The search for variances: its slope is the objective's own, and it ends where no step helps."""

from __future__ import annotations

import numpy as np
import pytest

from clubapp.engine import ability_model, ability_reml
from clubapp.engine.ability_model import PRIORS, Child, Priors, Result
from tests.engine.simulated import squad


@pytest.mark.parametrize("priors", [PRIORS, Priors.none()])
def test_the_gradient_is_the_objectives_own(priors: Priors) -> None:
    made = squad(2)
    data = ability_model.prepare(made.seen, made.children, priors)
    at = ability_reml._solve(data, np.linspace(-5.0, -4.0, len(data.parts)))
    gradient, information = ability_reml._slope(data, at)
    for number in range(len(data.parts)):
        step = np.zeros(len(data.parts))
        step[number] = 1e-5
        up, down = (ability_reml._solve(data, at.theta + sign * step).objective for sign in (1, -1))
        assert gradient[number] == pytest.approx((up - down) / 2e-5, rel=1e-3, abs=1e-3)
    assert np.all(np.linalg.eigvalsh(information) > 0)


def test_it_ends_where_the_slope_is_level() -> None:
    made = squad(2)
    fitted = ability_reml.fit(ability_model.prepare(made.seen, made.children, PRIORS))
    gradient, _information = ability_reml._slope(fitted.data, fitted)
    assert gradient == pytest.approx(np.zeros(len(gradient)), abs=0.05)


def test_equal_times_leave_a_variance_of_nothing() -> None:
    rows = [Result(child, "40 m", day, 7.0) for child in "abcdef" for day in (0, 7, 14)]
    children = [Child(child, born=-400 * (8 + n)) for n, child in enumerate("abcdef")]
    fitted = ability_reml.fit(ability_model.prepare(rows, children, Priors.none()))
    assert np.exp(fitted.theta) == pytest.approx([0, 0], abs=1e-6)


def test_steps_run_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ability_reml, "MOST_STEPS", 1)
    made = squad(2)
    data = ability_model.prepare(made.seen, made.children, PRIORS)
    assert ability_reml.fit(data).objective < ability_reml._solve(data, ability_reml._priors(data)[0]).objective


def test_a_step_to_variances_that_cannot_be_told_apart_is_none() -> None:
    """No variance left at all: the covariance has no inverse."""
    made = squad(2)
    data = ability_model.prepare(made.seen, made.children, PRIORS)
    assert ability_reml._within(data, np.full(len(data.parts), -5.0)) is not None
    assert ability_reml._within(data, np.full(len(data.parts), -800.0)) is None


def test_a_step_without_an_inverse_is_the_least_of_the_best() -> None:
    """Two variances that no result tells apart share what is to be done; figures out of reach make no step."""
    flat, slope = np.ones((2, 2)), np.array([2.0, 2.0])
    assert ability_reml._whole_step(slope, flat) == pytest.approx([1.0, 1.0])
    assert ability_reml._whole_step(slope, 2 * np.eye(2)) == pytest.approx([1.0, 1.0])
    made = squad(2)
    data = ability_model.prepare(made.seen, made.children, PRIORS)
    start = ability_reml._solve(data, ability_reml._priors(data)[0])
    count = len(start.theta)
    assert ability_reml._shorter(data, start, np.ones(count), np.full((count, count), np.inf)) is None
