"""Values as they are typed, count and are shown."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from clubapp.results import measures
from clubapp.results.models import Trial

CASES = json.loads((Path(__file__).parents[1] / "vectors/measures.json").read_text())["parse"]


@pytest.mark.parametrize(("text", "unit", "value"), CASES)
def test_what_was_typed(text: str, unit: str, value: int | str | None) -> None:
    if value == "no":
        with pytest.raises(measures.MeasureError):
            measures.parse(text, unit)
    else:
        assert measures.parse(text, unit) == value


@pytest.mark.parametrize(
    ("value", "unit", "shown", "typed"),
    [
        (1_849, "m", "1.84", "1.849"),
        (1_849, "cm", "184", "184.9"),
        (7_410, "s", "7.5", "7.41"),
        (2_000, "m", "2.00", "2"),
    ],
)
def test_what_is_shown_is_never_better_than_what_was_reached(value: int, unit: str, shown: str, typed: str) -> None:
    assert measures.text(value, unit, in_tenths=True) == shown
    assert measures.plain(value, unit) == typed


def test_lengths_count_down_to_the_centimetre_and_of_two_the_shorter() -> None:
    trial = Trial(unit="cm", better="more")
    assert measures.counted([1_849], trial, in_tenths=False) == 1_840
    assert measures.counted([1_849, 1_872], trial, in_tenths=False) == 1_840
    assert measures.counted([1_849, 1_872, 1_900], trial, in_tenths=False) == 1_870
    assert measures.counted([7], trial, in_tenths=False) == 7  # under a centimetre there is nothing to round to
