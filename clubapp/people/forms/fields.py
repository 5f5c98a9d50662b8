"""Fields that several forms share."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from clubapp.people import cells

PHONE = re.compile(r"\+?[0-9 ()./\-]{5,29}")


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


def check_phone(text: str) -> str:
    if text and not (PHONE.fullmatch(text) and sum(letter.isdigit() for letter in text) >= 5):
        raise ValidationError(_("A phone number has digits, spaces and perhaps a + in front."))
    return text
