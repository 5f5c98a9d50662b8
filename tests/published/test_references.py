"""Published values for children against what the sources print.

National School Population Fitness Survey 1985, as printed at docsbay.net/president-s-challenge-qualifying-standards and
studylib.net/doc/9810576 (85th percentile) and at summitcds.org/toth/fitnesstestrecords.htm (50th). Saint-Maurice and
others 2015, Res Q Exerc Sport 86(S1):S37-44, at ncbi.nlm.nih.gov/pubmed/26054955.
"""

from __future__ import annotations

import pytest

from clubapp.engine.references import BOY, GIRL, LONG_JUMP_CM, SHUTTLE_4_30_FT_S, Table


@pytest.mark.parametrize(
    ("table", "sex", "percentile", "age", "value"),
    [
        (SHUTTLE_4_30_FT_S, BOY, 85, 6, 12.1),
        (SHUTTLE_4_30_FT_S, BOY, 85, 17, 8.7),
        (SHUTTLE_4_30_FT_S, GIRL, 85, 9, 11.1),
        (SHUTTLE_4_30_FT_S, GIRL, 85, 15, 10.0),
        (SHUTTLE_4_30_FT_S, GIRL, 85, 16, 10.1),  # slower again, as printed
        (SHUTTLE_4_30_FT_S, BOY, 50, 10, 11.5),
        (SHUTTLE_4_30_FT_S, GIRL, 50, 13, 11.1),
        (LONG_JUMP_CM, BOY, 50, 11, 147),
        (LONG_JUMP_CM, BOY, 50, 18, 210),
        (LONG_JUMP_CM, GIRL, 50, 14, 150.0),
        (LONG_JUMP_CM, GIRL, 50, 18, 155.0),
    ],
)
def test_a_printed_value(table: Table, sex: str, percentile: int, age: int, value: float) -> None:
    assert table.at(sex, percentile, age) == value


def test_what_is_not_printed_is_not_there() -> None:
    assert SHUTTLE_4_30_FT_S.at(BOY, 50, 14) is None  # known from memory only
    assert SHUTTLE_4_30_FT_S.at(BOY, 85, 5) is None
    assert SHUTTLE_4_30_FT_S.at(BOY, 85, 18) is None
    assert LONG_JUMP_CM.at(GIRL, 50, 10) is None
    assert LONG_JUMP_CM.at(GIRL, 85, 12) is None
    assert LONG_JUMP_CM.percentiles(GIRL) == (50,)
    assert SHUTTLE_4_30_FT_S.percentiles(BOY) == (50, 85)


def test_the_middle_is_never_better_than_the_best_fifteen() -> None:
    for sex in (BOY, GIRL):
        for age in range(6, 14):
            middle, good = (SHUTTLE_4_30_FT_S.at(sex, percentile, age) for percentile in (50, 85))
            assert middle is not None
            assert good is not None
            assert good < middle
