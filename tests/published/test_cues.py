"""Waits that do not age, and numbers by lot, against what is published.

Truncated exponential wait, least 1 s, tau 1 s, most 5 s: mean 1.925 s, median 1.675 s and the distribution function,
worked out from the formula; that the exponential wait is the one whose hazard is constant: Hohle 1965, J. Exp. Psychol.
69, 382; Luce 1986, Response Times. xorshift32 and its first state: Marsaglia 2003, J. Stat. Softw. 8(14), p. 4; the
first outputs from memory. Exponential numbers by comparing alone: von Neumann 1951, NBS Appl. Math. Ser. 12, 36;
e / (1 - 1/e) = 4.30 draws for each on average: Karney 2016, ACM Trans. Math. Softw. 42(1), 3.
"""

from __future__ import annotations

import math

import pytest

from clubapp.engine.cues import NEVER_ZERO, Lot, Problem, cdf, mean_wait_ms, solve

PROBLEM = Problem(count=1000, least_ms=1000, tau_ms=1000, most_ms=5000)
DRAWS = 20_000


def waits() -> list[int]:
    return [cue.wait_ms for seed in range(DRAWS // 1000) for cue in solve(PROBLEM, seed=seed).cues]


def test_mean_and_median() -> None:
    assert mean_wait_ms(PROBLEM) == pytest.approx(1925, abs=0.5)
    assert cdf(PROBLEM, 1675) == pytest.approx(0.5, abs=0.0005)
    found = sorted(waits())
    # The standard deviation of one wait is below 0.9 s; four of the mean's.
    assert sum(found) / DRAWS == pytest.approx(1925, abs=4 * 900 / math.sqrt(DRAWS))
    assert found[DRAWS // 2] == pytest.approx(1675, abs=4 * 700 / math.sqrt(DRAWS))


def test_distribution_function() -> None:
    """Kolmogorov 1933: the largest distance stays below 1.63 / sqrt(n) in 99 of 100 samples."""
    found = sorted(waits())
    distance = max(
        max(abs(cdf(PROBLEM, wait + 0.5) - (at + 1) / DRAWS), abs(cdf(PROBLEM, wait - 0.5) - at / DRAWS))
        for at, wait in enumerate(found)
    )
    # Whole milliseconds: one holds no more than a thousandth of all waits.
    assert distance < 1.63 / math.sqrt(DRAWS) + 0.001


@pytest.mark.parametrize("waited", [0, 300, 700, 1200])
def test_a_wait_does_not_age(waited: float) -> None:
    """Before the cut, P(X > t + s | X > t) = e^(-s/tau), however long t one has waited."""
    lot = Lot.of(9)
    drawn = [1000 * lot.exponential() for _ in range(DRAWS)]
    over = [wait for wait in drawn if wait > waited]
    stayed = sum(wait > waited + 500 for wait in over) / len(over)
    assert stayed == pytest.approx(math.exp(-0.5), abs=4 * 0.5 / math.sqrt(len(over)))


def test_an_even_wait_would_age() -> None:
    """The test above tells the two apart: evenly from 0 to 2 s, the chance to stay falls from 3/4 to 3/8."""
    lot = Lot.of(9)
    drawn = [2000 * lot.number() / 2**32 for _ in range(DRAWS)]
    stayed = [sum(w > t + 500 for w in drawn) / sum(w > t for w in drawn) for t in (0, 1200)]
    assert stayed[0] - stayed[1] > 0.3


def test_marsaglia_s_numbers() -> None:
    lot = Lot(NEVER_ZERO)
    assert [lot.number() for _ in range(3)] == [723471715, 2497366906, 2064144800]


def test_draws_for_one_exponential_number() -> None:
    class Counted(Lot):
        drawn = 0

        def number(self) -> int:
            self.drawn += 1
            return super().number()

    lot = Counted(NEVER_ZERO)
    for _ in range(DRAWS):
        lot.exponential()
    assert lot.drawn / DRAWS == pytest.approx(math.e / (1 - 1 / math.e), abs=0.1)
