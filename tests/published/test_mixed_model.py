"""Variances and effects of the ability model against a general-purpose statistics library.

Source: statsmodels' linear mixed model (Lindstrom and Bates 1988, JASA 83:1014-1022), fitted by REML to the same rows.
Stated tolerance: 0.1 % of each standard deviation, and 1e-5 in log(seconds) of each effect.
"""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from clubapp.engine import ability
from clubapp.engine.ability import Priors
from tests.engine.simulated import squad


def test_reml_agrees(big: bool) -> None:
    for seed in range(8 if big else 2):
        agrees(seed)


def agrees(seed: int) -> None:
    with warnings.catch_warnings():  # what the library says while it is imported is not ours to mend
        warnings.simplefilter("ignore")
        from statsmodels.regression.mixed_linear_model import MixedLM

        made = squad(seed)
        fitted = ability.fit(made.seen, made.children, priors=Priors.none())
        blocks = fitted.fitted.data.blocks
        y = np.concatenate([block.y for block in blocks.values()])
        x = np.concatenate([block.x for block in blocks.values()])[:, :-2]  # trials and slope
        groups = np.concatenate([[child] * len(block.y) for child, block in blocks.items()])
        theirs = MixedLM(y, x, groups).fit(reml=True, method=["lbfgs", "bfgs"], gtol=1e-10)
    assert fitted.spreads["noise"] == pytest.approx(np.sqrt(theirs.scale), rel=1e-3)
    assert fitted.spreads["child"] == pytest.approx(float(np.sqrt(theirs.cov_re[0, 0])), rel=1e-3)
    assert fitted.fitted.beta[:-2] == pytest.approx(theirs.fe_params, abs=1e-5)
    for child, effect in theirs.random_effects.items():
        block = blocks[child]
        weights = np.linalg.solve(fitted.fitted.covariance(block), np.full(len(block.y), fitted.spreads["child"] ** 2))
        assert float(weights @ (block.y - block.x @ fitted.fitted.beta)) == pytest.approx(
            float(np.asarray(effect)[0]), abs=1e-5
        )
