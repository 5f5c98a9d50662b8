"""What one cell of a roster says. Each parser answers with a value, None for an empty cell, or a CellError.

Used by the import page and by the command line alike; nothing here knows a database.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from enum import StrEnum

from django.utils.translation import gettext as _

MOST_SECONDS = 3600
OLDEST = 30  # a child's age; above it a year was mistyped
ISO = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})")
SHORT = re.compile(r"([0-9]{1,2})([/.\-])([0-9]{1,2})\2([0-9]{4})")
NUMBER = re.compile(r"[0-9]{1,6}(?:[.,][0-9]{1,20})?")
YES = {"yes", "y", "true", "t", "1"}
NO = {"no", "n", "false", "f", "0"}
UNSEEN = frozenset("\u00ad\u200b\u200e\u200f\u2060\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff")
SEXES = {"f": "f", "girl": "f", "female": "f", "m": "m", "boy": "m", "male": "m", "x": "x", "other": "x"}


class CellError(ValueError):
    """The cell cannot be understood; the message is a sentence for the coach, without row and column."""


class DateOrder(StrEnum):
    """How 9/4/2016 is meant in a file."""

    DMY = "dmy"
    MDY = "mdy"
    EITHER = "either"  # no date in the file depends on it
    AMBIGUOUS = "ambiguous"  # the coach has to say


def clean(text: str) -> str:
    """A name or label as it is kept: spaces and line ends run together, letters composed, nothing invisible."""
    composed = unicodedata.normalize("NFC", text)
    visible = (letter for letter in composed if letter.isspace() or not _hidden(letter))
    return " ".join("".join(visible).split())


def _hidden(letter: str) -> bool:
    """Control letters, and those nobody sees, with which one name can pass for another."""
    return unicodedata.category(letter) in ("Cc", "Cs") or letter in UNSEEN


def date_order(texts: Iterable[str]) -> DateOrder:
    """What the dates of a whole column say about day and month; speaks up when they leave it open."""
    found: set[DateOrder] = set()
    for text in texts:
        match = SHORT.fullmatch(text.strip())
        if match:
            found.add(_order_of(int(match[1]), int(match[3])))
    found.discard(DateOrder.EITHER)
    if not found:
        return DateOrder.EITHER
    certain = found - {DateOrder.AMBIGUOUS}
    return certain.pop() if len(certain) == 1 else DateOrder.AMBIGUOUS


def _order_of(first: int, second: int) -> DateOrder:
    if first == second:
        return DateOrder.EITHER
    if first > 12 >= second:
        return DateOrder.DMY
    if second > 12 >= first:
        return DateOrder.MDY
    return DateOrder.AMBIGUOUS


def date_cell(text: str, order: DateOrder = DateOrder.EITHER) -> date | None:
    """2016-04-09, or 9/4/2016 (also with dots or hyphens) when the file's order is known."""
    words = text.strip()
    if not words:
        return None
    if match := ISO.fullmatch(words):
        return _date(int(match[1]), int(match[2]), int(match[3]), words)
    match = SHORT.fullmatch(words)
    if match is None:
        raise CellError(_("“%(text)s” is no date. Write 2016-04-09 or 9/4/2016.") % {"text": words})
    first, second, year = int(match[1]), int(match[3]), int(match[4])
    if order == DateOrder.AMBIGUOUS or (order == DateOrder.EITHER and first != second):
        sentence = _("“%(text)s” can be read in two ways: say whether day or month comes first.")
        raise CellError(sentence % {"text": words})
    day, month = (second, first) if order == DateOrder.MDY else (first, second)
    return _date(year, month, day, words)


def _date(year: int, month: int, day: int, words: str) -> date:
    try:
        return date(year, month, day)
    except ValueError as error:
        raise CellError(_("“%(text)s” is not in the calendar.") % {"text": words}) from error


def past(day: date | None, today: date) -> date | None:
    """The day, unless it is still to come."""
    if day and day > today:
        raise CellError(_("%(day)s is in the future.") % {"day": day.isoformat()})
    return day


def birth_date(day: date | None, today: date) -> date | None:
    """The day, unless no child of a club can be born on it."""
    past(day, today)
    birth_year(day.year if day else None, today)
    return day


def birth_year(year: int | None, today: date) -> int | None:
    if year and not 0 <= today.year - year <= OLDEST:
        raise CellError(_("A child of the club is not born in %(year)d.") % {"year": year})
    return year


def yes_no_cell(text: str) -> bool | None:
    word = text.strip().casefold()
    if not word:
        return None
    if word in YES or word in NO:
        return word in YES
    raise CellError(_("“%(text)s” is neither yes nor no.") % {"text": text.strip()})


def sex_cell(text: str) -> str | None:
    """'f', 'm' or 'x'."""
    word = text.strip().casefold()
    if not word:
        return None
    if word not in SEXES:
        raise CellError(_("“%(text)s” is none of f, m and x.") % {"text": text.strip()})
    return SEXES[word]


def skill_cell(text: str) -> int | None:
    """A whole number from 1 to 5."""
    words = text.strip()
    if not words:
        return None
    match = re.fullmatch(r"([1-5])(?:[.,]0+)?", words)
    if match is None:
        raise CellError(_("“%(text)s” is no skill: write a whole number from 1 to 5.") % {"text": words})
    return int(match[1])


def year_cell(text: str) -> int | None:
    words = text.strip()
    if not words:
        return None
    if not re.fullmatch(r"(?:19|20)[0-9]{2}", words):
        raise CellError(_("“%(text)s” is no year. Write it with four digits.") % {"text": words})
    return int(words)


def seconds_cell(text: str) -> Decimal | None:
    """Seconds above zero, with a decimal point or comma; an "s" after them is allowed."""
    words = text.strip()
    if not words:
        return None
    bare = re.sub(r"\s*s$", "", words, flags=re.IGNORECASE)
    if not NUMBER.fullmatch(bare):
        raise CellError(_("“%(text)s” is no time. Write seconds, such as 7.42.") % {"text": words})
    seconds = Decimal(bare.replace(",", "."))
    if not 0 < seconds <= MOST_SECONDS:
        raise CellError(_("%(text)s seconds cannot be right: a time is above 0 and at most an hour.") % {"text": bare})
    return seconds


def labels_cell(text: str) -> tuple[str, ...]:
    """Labels separated by semicolons, each once, in their order."""
    return tuple(dict.fromkeys(label for part in text.split(";") if (label := clean(part))))
