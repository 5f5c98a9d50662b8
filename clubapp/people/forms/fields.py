"""Fields that several forms share."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from clubapp.people import cells
from clubapp.people.phones import check_phone

__all__ = ["DayInput", "WordsField", "check_born", "check_phone"]


class WordsField(forms.CharField):
    """A name or label: spaces run together, nothing invisible."""

    def to_python(self, value: Any) -> str:
        return cells.clean(super().to_python(value) or "")


class DayInput(forms.DateInput):
    """The phone's own calendar."""

    input_type = "date"

    def __init__(self, **named: Any) -> None:
        super().__init__(format="%Y-%m-%d", **named)


def check_born(day: date | None, year: int | None, today: date) -> None:
    """Refuse a birth that is still to come or too long ago for a child."""
    try:
        cells.birth_date(day, today)
        cells.birth_year(year, today)
    except cells.CellError as error:
        raise ValidationError(str(error)) from error
