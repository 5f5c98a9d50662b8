"""What one cell of a roster says."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest

from clubapp.people import cells
from clubapp.people.cells import CellError, DateOrder


@pytest.mark.parametrize(
    ("texts", "order"),
    [
        (["2016-04-09", ""], DateOrder.EITHER),
        (["4/4/2016"], DateOrder.EITHER),
        (["13/4/2016", "9/4/2016"], DateOrder.DMY),
        (["4/13/2016", "9/4/2016"], DateOrder.MDY),
        (["9/4/2016"], DateOrder.AMBIGUOUS),
        (["13/4/2016", "4/13/2016"], DateOrder.AMBIGUOUS),
    ],
)
def test_date_order_speaks_up_when_it_is_open(texts: list[str], order: DateOrder) -> None:
    assert cells.date_order(texts) == order


@pytest.mark.parametrize(
    ("text", "order", "day"),
    [
        ("2016-04-09", DateOrder.AMBIGUOUS, date(2016, 4, 9)),
        (" 9/4/2016 ", DateOrder.DMY, date(2016, 4, 9)),
        ("9/4/2016", DateOrder.MDY, date(2016, 9, 4)),
        ("09.04.2016", DateOrder.DMY, date(2016, 4, 9)),
        ("4-4-2016", DateOrder.EITHER, date(2016, 4, 4)),
        ("", DateOrder.EITHER, None),
    ],
)
def test_dates(text: str, order: DateOrder, day: date | None) -> None:
    assert cells.date_cell(text, order) == day


@pytest.mark.parametrize("text", ["9/4/16", "31/4/2016", "2016-13-01", "9/4-2016", "soon", "٩/٤/٢٠١٦"])
def test_dates_refused(text: str) -> None:
    with pytest.raises(CellError):
        cells.date_cell(text, DateOrder.DMY)


def test_an_open_date_is_refused_until_the_order_is_known() -> None:
    with pytest.raises(CellError, match="two ways"):
        cells.date_cell("9/4/2016", DateOrder.EITHER)


@pytest.mark.parametrize(
    ("parser", "text", "value"),
    [
        (cells.yes_no_cell, "Yes", True),
        (cells.yes_no_cell, "n", False),
        (cells.yes_no_cell, " ", None),
        (cells.sex_cell, "F", "f"),
        (cells.sex_cell, "Boy", "m"),
        (cells.sex_cell, "", None),
        (cells.skill_cell, "3", 3),
        (cells.skill_cell, "3,0", 3),
        (cells.skill_cell, "", None),
        (cells.year_cell, "2016", 2016),
        (cells.year_cell, "", None),
        (cells.seconds_cell, "7.42", Decimal("7.42")),
        (cells.seconds_cell, "7,42 s", Decimal("7.42")),
        (cells.seconds_cell, "", None),
        (cells.labels_cell, " A; B ;;A", ("A", "B")),
        (cells.labels_cell, "", ()),
        (cells.clean, "  Ada\r\n Mae ", "Ada Mae"),
        (cells.clean, "A\u200bnn\u00ad", "Ann"),
        (cells.clean, "e\u0301\u202e\x07", "é"),
    ],
)
def test_values(parser: Callable[[str], object], text: str, value: object) -> None:
    assert parser(text) == value


@pytest.mark.parametrize(
    ("parser", "text"),
    [
        (cells.yes_no_cell, "perhaps"),
        (cells.sex_cell, "q"),
        (cells.skill_cell, "6"),
        (cells.skill_cell, "2.5"),
        (cells.year_cell, "16"),
        (cells.seconds_cell, "0"),
        (cells.seconds_cell, "-7"),
        (cells.seconds_cell, "nan"),
        (cells.seconds_cell, "1e3"),
        (cells.seconds_cell, "1,234.5"),
        (cells.seconds_cell, "3601"),
    ],
)
def test_refusals_quote_the_cell(parser: Callable[[str], object], text: str) -> None:
    with pytest.raises(CellError, match=text.replace(".", r"\.")):
        parser(text)
