"""Published values are found by completed year of age, and none is made up where none is printed."""

from __future__ import annotations

import pytest

from clubapp.engine.references import BOY, GIRL, LONG_JUMP_CM, SHUTTLE_4_30_FT_S


def test_a_value_is_of_the_completed_year() -> None:
    assert LONG_JUMP_CM.at(BOY, 50, 11) == 147
    assert LONG_JUMP_CM.at(GIRL, 50, 18) == 155.0
    assert SHUTTLE_4_30_FT_S.at(BOY, 85, 6) == 12.1


@pytest.mark.parametrize(("sex", "percentile", "age"), [(BOY, 50, 10), (GIRL, 50, 19), (BOY, 85, 11), ("", 50, 11)])
def test_outside_of_the_table_there_is_none(sex: str, percentile: int, age: int) -> None:
    assert LONG_JUMP_CM.at(sex, percentile, age) is None


def test_percentiles_are_those_printed() -> None:
    assert SHUTTLE_4_30_FT_S.percentiles(BOY) == (50, 85)
    assert LONG_JUMP_CM.percentiles(GIRL) == (50,)
    assert LONG_JUMP_CM.percentiles("") == ()
