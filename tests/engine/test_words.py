"""The nouns of the engine."""

from __future__ import annotations

from datetime import date

import pytest

from clubapp.engine.words import BIBS, Athlete, age_days, bib_names, completed_years


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_a_value_that_is_no_number_is_refused_by_name(value: float) -> None:
    with pytest.raises(ValueError, match="speed_s of mia"):
        Athlete("mia", {"skill": 3.0, "speed_s": value})


def test_age_in_days_counts_leap_days() -> None:
    assert age_days(date(2016, 2, 28), date(2016, 3, 1)) == 2


@pytest.mark.parametrize(
    ("born", "on", "years"),
    [
        (date(2016, 3, 14), date(2026, 3, 14), 10),
        (date(2016, 3, 15), date(2026, 3, 14), 9),
        (date(2016, 2, 29), date(2026, 2, 28), 9),
        (date(2016, 2, 29), date(2026, 3, 1), 10),
    ],
)
def test_a_year_is_completed_on_the_birthday(born: date, on: date, years: int) -> None:
    assert completed_years(born, on) == years


def test_numbers_are_taken_as_they_are() -> None:
    assert Athlete("mia", {"skill": 3.0}).values == {"skill": 3.0}


def test_bibs_are_all_different_however_many() -> None:
    names = bib_names(3 * len(BIBS))
    assert names[: len(BIBS)] == BIBS
    assert len(set(names)) == len(names)
    assert names[len(BIBS)] == f"{BIBS[0]} 2"
