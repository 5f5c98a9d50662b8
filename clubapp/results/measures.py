"""Values as they are typed, as they count and as they are shown: whole milliseconds, or whole millimetres."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal

from django.utils.translation import gettext as _

from clubapp.engine import handtime
from clubapp.results.models import Trial

NUMBER = re.compile(r"[0-9]{1,6}(?:[.,][0-9]{1,6})?")
CLOCK = re.compile(r"([0-9]{1,3}):([0-5]?[0-9](?:[.,][0-9]{1,6})?)")
SIGN = re.compile(r"\s*(?:s|m|cm)$", re.IGNORECASE)
THOUSANDTHS = {"s": 1000, "m": 1000, "cm": 10}
SAMPLES = {"s": "7.42", "m": "1.84", "cm": "184"}
MOST = {"s": 3 * 3_600_000, "m": 1_000_000, "cm": 1_000_000}
CENTIMETRE_MM = 10


class MeasureError(ValueError):
    """What was typed is no value; the message says what to write."""


def parse(text: str, unit: str) -> int | None:
    """What was typed, in whole thousandths; None for nothing. Point or comma; 1:02.4 is a minute and 2.4 seconds.

    Raises:
        MeasureError: it is no value of this unit.
    """
    words = text.strip()
    if not words:
        return None
    bare = SIGN.sub("", words)
    clock = CLOCK.fullmatch(bare) if unit == Trial.Unit.SECONDS else None
    if clock:
        number = 60 * int(clock[1]) + _number(clock[2])
    elif NUMBER.fullmatch(bare):
        number = _number(bare)
    else:
        said = {"text": words, "sample": SAMPLES[unit]}
        raise MeasureError(_("“%(text)s” is no value. Write a number, such as %(sample)s.") % said)
    value = int((number * THOUSANDTHS[unit]).to_integral_value(ROUND_HALF_UP))
    if not 1 <= value <= MOST[unit]:
        raise MeasureError(_("“%(text)s” is too small or too large to keep.") % {"text": words})
    return value


def _number(text: str) -> Decimal:
    return Decimal(text.replace(",", "."))


def counted(values: Sequence[int], trial: Trial, *, in_tenths: bool) -> int:
    """What counts of what several adults read of one attempt.

    Times: `handtime.combined`. Lengths: each down to the whole centimetre, as in athletics (TR26 and TR30, the figures
    from memory); then the middle one, of two the shorter.
    """
    if trial.is_timed:
        return handtime.combined(values, by_hand=in_tenths)
    ordered = sorted(value // CENTIMETRE_MM * CENTIMETRE_MM or value for value in values)
    return ordered[(len(ordered) - 1) // 2]


def text(value: int, unit: str, *, in_tenths: bool) -> str:
    """ "10.2", "10.18" or "1:02.4" of a time; "1.84" or "184" of a length, never more than was reached."""
    if unit == Trial.Unit.SECONDS:
        return handtime.text(value, by_hand=in_tenths)
    centimetres = value // CENTIMETRE_MM
    return f"{centimetres}" if unit == Trial.Unit.CENTIMETRES else f"{centimetres // 100}.{centimetres % 100:02d}"


def plain(value: int, unit: str) -> str:
    """As it would be typed: 7.42 of 7420, without a digit that says nothing."""
    number = (Decimal(value) / THOUSANDTHS[unit]).normalize()
    return f"{number:f}"


def plain_text(value: int, unit: str) -> str:
    """A likely value, no finer than it can be known: tenths of a second, whole centimetres."""
    return text(value, unit, in_tenths=True)
