"""Restricted maximum likelihood for the ability model, by average information.

Gilmour, Thompson and Cuthbert 1995, "Average information REML", Biometrics 51:1440-1450: the mean of observed and
expected information needs no more than the residuals' own products. Steps are taken on log variances, with normal
priors on them, and shortened until the objective falls. One child is one block, so nothing larger is ever inverted.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from clubapp.engine import ability_model as model
from clubapp.engine.ability_model import Array, Block, Data

MOST_STEPS = 60
STILL = 1e-10  # the objective has stopped falling
LEAST_LOG = math.log(1e-9)  # a variance below that is none
DAMPED = 1e-6


@dataclass(frozen=True)
class Fit:
    """theta: log variances in the order of `Data.parts`; beta: fixed effects with their covariance."""

    data: Data
    theta: Array
    beta: Array
    beta_covariance: Array
    objective: float

    def covariance(self, block: Block) -> Array:
        """(n, n): of one child's results."""
        return _covariance(self.data, block, self.theta)


def fit(data: Data) -> Fit:
    """Find the variances that explain the results best, from the priors' own on."""
    start, _precision = _priors(data)
    best = _solve(data, start)
    damping = DAMPED
    for _step in range(MOST_STEPS):
        gradient, information = _slope(data, best)
        tried = _shorter(data, best, gradient, information + damping * np.eye(len(gradient)))
        if tried is None or best.objective - tried.objective < STILL * (1.0 + abs(best.objective)):
            return tried or best
        best = tried
    return best


def _shorter(data: Data, best: Fit, gradient: Array, information: Array) -> Fit | None:
    """The first of ever shorter steps that makes the objective fall; None where there is none."""
    step = _whole_step(gradient, information)
    if step is None:
        return None
    for share in 0.5 ** np.arange(12):
        tried = _within(data, np.maximum(best.theta - share * np.clip(step, -3.0, 3.0), LEAST_LOG))
        if tried is not None and tried.objective < best.objective:
            return tried
    return None


def _whole_step(gradient: Array, information: Array) -> Array | None:
    """The least of the best steps where results tell variances apart no more; None where figures are out of reach."""
    if not np.isfinite(information).all():
        return None
    try:
        step: Array = np.linalg.solve(information, gradient).astype(float)
    except np.linalg.LinAlgError:
        step = np.linalg.lstsq(information, gradient, rcond=None)[0].astype(float)
    return step


def _within(data: Data, theta: Array) -> Fit | None:
    """None where a variance is so small beside the others that a child's results cannot be told apart any more."""
    try:
        return _solve(data, theta)
    except np.linalg.LinAlgError:
        return None


# --- priors ----------------------------------------------------------------------------------------------------------


def _priors(data: Data) -> tuple[Array, Array]:
    """Means and precisions of theta. A precision of 0 says nothing."""
    priors = data.priors
    means, precisions = [], []
    for name in data.parts[: len(data.parts) - _apart(data)]:
        means.append(2.0 * math.log(getattr(priors, name)))
        precisions.append(1.0 / (2.0 * priors.loose) ** 2)
    if priors.apart is not None:
        means += [0.0] * len(data.trials)
        precisions += [1.0 / (2.0 * priors.apart) ** 2] * len(data.trials)
    return np.array(means), np.array(precisions)


def _apart(data: Data) -> int:
    return len(data.trials) if data.priors.apart is not None else 0


def _beliefs(data: Data) -> tuple[Array, Array, npt.NDArray[np.bool_]]:
    """Of the fixed effects: means, precisions, and which are free at all (a prior of sd 0 fixes one)."""
    mean = np.array([belief.mean for belief in data.beliefs])
    sd = np.array([belief.sd for belief in data.beliefs])
    free = sd > 0
    precision = np.where(free, 1.0 / np.where(free, sd, 1.0) ** 2, 0.0)
    return mean, precision, free


# --- likelihood ------------------------------------------------------------------------------------------------------


def _scaled(data: Data, block: Block, theta: Array) -> Array:
    """(variances, n, n): the derivative of the covariance by each log variance."""
    found = np.exp(theta)
    common = len(data.parts) - _apart(data)
    parts = model.kernels(data, block) * found[:common, None, None]
    if not _apart(data):
        return parts
    noise = np.exp(theta[common - 1] + theta[common:])[block.trial]
    parts[-1] = np.diag(noise)
    each = np.zeros((_apart(data), len(block.y), len(block.y)))
    at = np.arange(len(block.y))
    each[block.trial, at, at] = noise
    return np.concatenate([parts, each])


def _covariance(data: Data, block: Block, theta: Array) -> Array:
    common = len(data.parts) - _apart(data)
    whole: Array = _scaled(data, block, theta)[:common].sum(axis=0) + block.blind
    return whole


def _solve(data: Data, theta: Array) -> Fit:
    """Fixed effects in closed form for given variances, and minus twice the restricted log posterior."""
    mean, precision, free = _beliefs(data)
    inside, towards = np.diag(precision), precision * mean
    logs = 0.0
    inverses = {}
    for child, block in data.blocks.items():
        covariance = _covariance(data, block, theta)
        inverses[child] = inverse = np.linalg.inv(covariance)
        logs += float(np.linalg.slogdet(covariance)[1])
        inside = inside + block.x.T @ inverse @ block.x
        towards = towards + block.x.T @ inverse @ block.y
    beta, spread, log_inside = _fixed(inside, towards, free)
    squares = float(((beta - mean)[free] ** 2 * precision[free]).sum())
    for child, block in data.blocks.items():
        left = block.y - block.x @ beta
        squares += float(left @ inverses[child] @ left)
    prior_mean, prior_precision = _priors(data)
    belief = float(((theta - prior_mean) ** 2 * prior_precision).sum())
    return Fit(data, theta, beta, spread, logs + log_inside + squares + belief)


def _fixed(inside: Array, towards: Array, free: npt.NDArray[np.bool_]) -> tuple[Array, Array, float]:
    """Solve for the free effects; the others stay 0 without spread."""
    kept = np.flatnonzero(free)
    spread = np.zeros_like(inside)
    spread[np.ix_(kept, kept)] = np.linalg.inv(inside[np.ix_(kept, kept)])
    return spread @ towards, spread, float(np.linalg.slogdet(inside[np.ix_(kept, kept)])[1])


def _slope(data: Data, at: Fit) -> tuple[Array, Array]:
    """Gradient and average information of the objective by theta."""
    count = len(at.theta)
    traces, squares, information = np.zeros(count), np.zeros(count), np.zeros((count, count))
    seen = np.zeros((len(at.beta), count))
    for block in data.blocks.values():
        inverse = np.linalg.inv(at.covariance(block))
        parts = _scaled(data, block, at.theta)
        left = inverse @ (block.y - block.x @ at.beta)
        through = inverse @ block.x
        moved = parts @ left  # (variances, n)
        traces += np.einsum("ij,kji->k", inverse, parts)
        traces -= np.einsum("ia,kij,jb,ba->k", through, parts, through, at.beta_covariance, optimize=True)
        squares += moved @ left
        information += moved @ inverse @ moved.T
        seen += through.T @ moved.T
    information -= seen.T @ at.beta_covariance @ seen
    mean, precision = _priors(data)
    return traces - squares + 2.0 * precision * (at.theta - mean), information + 2.0 * np.diag(precision)
