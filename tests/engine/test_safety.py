"""Adults per children: the youngest child's band for all, and never fewer than two."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine.safety import (
    AGE_UNKNOWN,
    BANDS,
    LEAST_ADULTS,
    Guide,
    HeatBand,
    Level,
    Table,
    adults_needed,
    band_of,
    earliest_returns,
    heat_band,
    heat_index,
    not_before,
    wbgt_level,
)
from tests.strategies import examples

AGES = st.lists(st.none() | st.integers(0, 18), max_size=60)


def test_bands_cover_every_age_once() -> None:
    for age in range(19):
        assert sum(band.youngest <= age <= band.oldest for band in BANDS) == 1
        assert band_of(age).youngest <= age <= band_of(age).oldest


def test_above_18_the_last_band_counts() -> None:
    assert band_of(25) == BANDS[-1]


def test_a_negative_age_is_refused() -> None:
    with pytest.raises(ValueError, match="-1"):
        adults_needed([8, -1])


def test_the_youngest_decides_for_all() -> None:
    assert adults_needed([13] * 20).adults == 2
    assert adults_needed([13] * 20 + [7]).adults == 4


def test_nobody_here_still_asks_for_two() -> None:
    ratio = adults_needed([])
    assert (ratio.adults, ratio.children, ratio.unknown) == (LEAST_ADULTS, 0, 0)


def test_an_unknown_age_counts_as_a_young_child_and_is_told() -> None:
    ratio = adults_needed([14] * 12 + [None])
    assert ratio.band == band_of(AGE_UNKNOWN)
    assert (ratio.adults, ratio.unknown) == (3, 1)


@examples(30)
@given(AGES)
def test_never_fewer_than_two_and_no_adult_has_too_many(ages: list[int | None]) -> None:
    ratio = adults_needed(ages)
    assert ratio.adults >= LEAST_ADULTS
    assert ratio.adults * ratio.band.children_per_adult >= len(ages)
    assert (ratio.adults - 1) * ratio.band.children_per_adult < len(ages) or ratio.adults == LEAST_ADULTS


@examples(30)
@given(AGES, st.integers(0, 18))
def test_one_more_child_never_needs_fewer_adults(ages: list[int | None], age: int) -> None:
    assert adults_needed([*ages, age]).adults >= adults_needed(ages).adults


# --- after a suspected head injury ------------------------------------------------------------------------------------

DAYS = st.dates(date(2020, 1, 1), date(2040, 1, 1))


def test_while_signs_last_one_date_is_open() -> None:
    rows = {row.guide: row.on for row in earliest_returns(date(2026, 3, 1))}
    assert rows[Guide.AU_SIGNS] is None
    assert not_before(date(2026, 3, 1)) == rows[Guide.UK_COMPETITION]


def test_signs_cannot_go_before_the_injury() -> None:
    with pytest.raises(ValueError, match="before the injury"):
        earliest_returns(date(2026, 3, 2), date(2026, 3, 1))


@examples(30)
@given(DAYS, st.integers(0, 60))
def test_no_guide_lets_anybody_back_on_the_day_and_the_latest_counts(day: date, later: int) -> None:
    gone = day + timedelta(days=later)
    dates = [row.on for row in earliest_returns(day, gone)]
    assert all(on is not None and on > day for on in dates)
    assert not_before(day, gone) == max(on for on in dates if on is not None)
    assert not_before(day, gone) >= not_before(day)


def test_hotter_or_damper_is_never_milder() -> None:
    asked = [heat_band(index)[1] for index in range(70, 140)]
    assert asked == sorted(asked)
    assert heat_index(70, 50) < heat_index(85, 40) < heat_index(85, 70) < heat_index(85, 95)
    assert heat_index(95, 5) < heat_index(95, 20) < heat_index(95, 60)
    assert heat_band(79.9) == (HeatBand.BELOW, Level.NONE)
    with pytest.raises(ValueError, match="humidity"):
        heat_index(90, 101)


def test_without_a_table_the_strictest_counts() -> None:
    for tenths in range(150, 400):
        levels = [wbgt_level(tenths / 10, table) for table in Table]
        assert wbgt_level(tenths / 10) is max(levels)
    assert wbgt_level(15.0) is Level.NONE
    assert wbgt_level(35.0) is Level.STOP
