"""What a child is likely to run on any timed test, and how far that may be out.

A small hierarchical model on the logarithm of time, y = log(seconds):

    y = trial + age line + coach's estimate + child + child on this trial + form on that day + noise of the trial

The first three are fixed effects with wide priors; child, child on this trial and form are random, so that a child with
few results is drawn towards the age line (Robinson 1991, "That BLUP is a good thing", Statistical Science 6:15-32) and
form forgets with time, so that old results fade. The variances are found by REML (Patterson and Thompson 1971,
Biometrika 58:545-554) in `ability_reml`; all else is closed form. Days are whole numbers counted from any fixed day.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from clubapp.engine import ability_model as model
from clubapp.engine import ability_reml as reml
from clubapp.engine.ability_model import PRIORS, Child, Priors, Result

__all__ = ["PRIORS", "Ability", "Child", "Prediction", "Priors", "Result", "UnknownTrialError", "fit"]

Z80 = 1.2815515655446004  # the standard normal's 90 % point: four in five lie between minus and plus this


class UnknownTrialError(ValueError):
    """Nobody has a result on this trial, so nothing can be said about it."""


@dataclass(frozen=True)
class Prediction:
    """One child on one trial on one day.

    log_mean, log_sd: of log(seconds) of a single run; level_sd leaves the noise of a single run out.
    """

    log_mean: float
    log_sd: float
    level_sd: float

    @property
    def median_s(self) -> float:
        """Seconds; half of the runs are quicker."""
        return math.exp(self.log_mean)

    def between(self, z: float = Z80) -> tuple[float, float]:
        """Seconds, from and to; four in five runs lie there unless another z is asked for."""
        return math.exp(self.log_mean - z * self.log_sd), math.exp(self.log_mean + z * self.log_sd)


@dataclass(frozen=True)
class Ability:
    """The fitted model of one club."""

    fitted: reml.Fit

    @property
    def trials(self) -> tuple[str, ...]:
        """The timed tests that somebody has a result on."""
        return self.fitted.data.trials

    @property
    def spreads(self) -> Mapping[str, float]:
        """Standard deviations in log(seconds): child, own, form, noise; each trial's noise by its name."""
        found = model.variances(self.fitted.data, self.fitted.theta)
        return {name: math.sqrt(value) for name, value in found.items() if name not in self.trials} | {
            trial: math.sqrt(model.noise_of(self.fitted.data, self.fitted.theta, trial)) for trial in self.trials
        }

    def predict(self, child: Child, trial: str, day: int) -> Prediction:
        """The child's time on `trial` on `day`; a child without results gets the age line with its honest width.

        Raises:
            UnknownTrialError: nobody has a result on it.
        """
        if trial not in self.trials:
            raise UnknownTrialError(trial)
        data, theta, beta = self.fitted.data, self.fitted.theta, self.fitted.beta
        block, asked = data.block_of(child), model.row(data, child, trial, day)
        shared, own = model.covariance_with(data, theta, block, asked)
        weights = np.linalg.solve(self.fitted.covariance(block), shared)
        mean = asked.x @ beta + weights @ (block.y - block.x @ beta)
        unsure = asked.x - block.x.T @ weights
        level = max(float(own - shared @ weights + unsure @ self.fitted.beta_covariance @ unsure), 0.0)
        noise = model.noise_of(data, theta, trial)
        return Prediction(float(mean), math.sqrt(level + noise), math.sqrt(level))


def fit(results: Sequence[Result], children: Sequence[Child], *, priors: Priors = PRIORS) -> Ability:
    """Fit the model to every result there is.

    Args:
        results: any order; a result of a child not in `children` counts for the trial, its age unknown.
        children: those whose age or estimate is known.
        priors: what is believed before any result; `Priors.none()` is plain REML with one random effect a child.

    Raises:
        ValueError: there are no results, or one is not above 0 seconds.
    """
    return Ability(reml.fit(model.prepare(results, children, priors)))
