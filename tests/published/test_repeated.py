"""Repeated-test statistics against published worked examples."""

from __future__ import annotations

from statistics import stdev

import pytest

from clubapp.engine.progress import (
    Error,
    agreement,
    anova,
    detectable_change,
    limits_of_agreement,
    variation_percent,
    worthwhile_change,
)

# Shrout and Fleiss 1979, Psychological Bulletin 86:420-428, table 2: six targets, four judges. Rows from memory; the
# article prints .17 .29 .71 .44 .62 .91, also from memory.
JUDGES = ((9, 2, 5, 8), (6, 1, 3, 2), (8, 4, 6, 8), (7, 1, 2, 6), (10, 5, 6, 9), (6, 2, 4, 7))
# Weir 2005, Journal of Strength and Conditioning Research 19:231-240, tables 1 and 2: two trials of eight. Rows from
# memory; the figures below were reckoned from them elsewhere, not read in the article.
WIDE = ((146, 140), (148, 152), (170, 152), (90, 99), (157, 145), (156, 153), (176, 167), (205, 218))
NARROW = ((166, 160), (168, 172), (160, 142), (150, 159), (147, 135), (146, 143), (156, 147), (155, 168))


def test_intraclass_correlations_of_six_targets_and_four_judges() -> None:
    found = anova(JUDGES)
    squares = (found.between, found.trial, found.left, found.within)
    assert squares == pytest.approx((11.2417, 32.4861, 1.0194, 6.2639), abs=5e-5)
    same = agreement(found)
    one = (same.one_way, same.absolute, same.consistency)
    mean = (same.one_way_mean, same.absolute_mean, same.consistency_mean)
    assert [f"{value:.2f}".lstrip("0") for value in (*one, *mean)] == [".17", ".29", ".71", ".44", ".62", ".91"]
    # To four decimals, reckoned by hand from the mean squares above.
    assert one == pytest.approx((0.1657, 0.2898, 0.7148), abs=5e-5)
    assert mean == pytest.approx((0.4428, 0.6201, 0.9093), abs=5e-5)


def test_consistency_is_not_agreement() -> None:
    """medcalc.org/manual/intraclasscorrelation.php: pairs that differ by two throughout."""
    same = agreement(anova([(2, 4), (4, 6), (6, 8)]))
    assert same.consistency == pytest.approx(1.0)
    assert same.absolute == pytest.approx(0.6667, abs=5e-5)


@pytest.mark.parametrize(
    ("rows", "percent", "icc", "sd", "worthwhile"),
    [
        (WIDE, 5.1616, (0.9501, 0.9500, 0.9470), 32.7719, 6.5544),
        (NARROW, 5.0577, (0.5589, 0.5527, 0.5377), 8.2635, 1.6527),
    ],
)
def test_the_same_error_with_more_and_with_less_between_people(
    rows: tuple[tuple[float, float], ...], percent: float, icc: tuple[float, ...], sd: float, worthwhile: float
) -> None:
    found, same = anova(rows), agreement(anova(rows))
    assert found.typical_error == pytest.approx(7.5569, abs=5e-5)
    assert detectable_change(Error(found.typical_error)) == pytest.approx(20.9467, abs=5e-5)
    assert limits_of_agreement(rows) == pytest.approx((-23.6967, 18.1967), abs=5e-5)
    assert variation_percent(rows) == pytest.approx(percent, abs=5e-5)
    assert (same.one_way, same.absolute, same.consistency) == pytest.approx(icc, abs=5e-5)
    first = [one for one, _ in rows]
    assert stdev(first) == pytest.approx(sd, abs=5e-5)
    assert worthwhile_change(first) == pytest.approx(worthwhile, abs=5e-5)
    assert found.typical_error > worthwhile_change(first)  # one test cannot show a change that matters
