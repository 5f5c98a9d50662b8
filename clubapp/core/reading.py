"""Reads plain data from a file somebody sent, and names every field that is wrong.

A field that cannot be read is noted and stands as something harmless, so that one reading finds all that is to put
right; whoever reads asks for `done` in the end.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Any, TypeVar

from django.utils.translation import gettext as _

Kind = TypeVar("Kind", bound=StrEnum)
SHOWN = 40  # letters of an unknown field that are shown again


@dataclass(frozen=True)
class Trouble:
    """field: where it stands, counted from 1, like "diagram.cones[2].at"; words: what is wrong, what would be right."""

    field: str
    words: str

    def __str__(self) -> str:
        return f"{self.field}: {self.words}" if self.field else self.words


class FileError(ValueError):
    """The data cannot be taken; every trouble names its field."""

    def __init__(self, troubles: Sequence[Trouble]) -> None:
        super().__init__(" · ".join(map(str, troubles)))
        self.troubles = tuple(troubles)


def json_of(data: bytes, most: int) -> Any:
    """What stands in a file.

    Raises:
        FileError: it is too long, no text or no JSON.
    """
    if len(data) > most:
        raise FileError([Trouble("", _("The file is longer than %(most)d kB.") % {"most": most // 1000})])
    try:
        return json.loads(data.decode("utf-8-sig"), parse_constant=_no_number)
    except (ValueError, RecursionError) as error:
        line = getattr(error, "lineno", 1)
        sentence = _("This is no JSON file, or it is cut off: look at line %(line)d.")
        raise FileError([Trouble("", sentence % {"line": line})]) from error


def _no_number(name: str) -> None:
    raise ValueError(name)


class Reader:
    """The fields of one object; `at` is where it stands in the file."""

    def __init__(self, data: object, at: str = "", troubles: list[Trouble] | None = None) -> None:
        self.at = at
        self.troubles: list[Trouble] = [] if troubles is None else troubles
        self._read: set[str] = set()
        self.data: dict[str, Any] = data if isinstance(data, dict) else {}
        if not isinstance(data, dict):
            self.wrong("", _("Fields with names are wanted here, in curly brackets."))

    def wrong(self, name: str, words: str) -> None:
        where = f"{self.at}[{name}]" if name.isdecimal() else f"{self.at}.{name}".strip(".")
        self.troubles.append(Trouble(where, words))

    def done(self) -> None:
        """Nothing stands here that nobody knows.

        Raises:
            FileError: with everything that was wrong.
        """
        self.close()
        if self.troubles:
            raise FileError(self.troubles)

    def close(self) -> None:
        for name in [name for name in self.data if name not in self._read]:
            self.wrong(str(name)[:SHOWN], _("There is no such field."))

    def get(self, name: str) -> Any:
        self._read.add(name)
        return self.data.get(name)

    def has(self, name: str) -> bool:
        return self.get(name) is not None

    # --- one value -----------------------------------------------------------------------------------------------

    def text(self, name: str, most: int, least: int = 0) -> str:
        """Spaces run together, nothing invisible."""
        said = self.get(name)
        if said is None and not least:
            return ""
        if not isinstance(said, str):
            self.wrong(name, _("Text is wanted here, in quotation marks."))
            return ""
        clean = " ".join("".join(letter if letter.isprintable() else " " for letter in said).split())
        if not least <= len(clean) <= most:
            sentence = _("From %(least)d to %(most)d letters, please; there are %(n)d.")
            self.wrong(name, sentence % {"least": least, "most": most, "n": len(clean)})
        return clean

    def choice(self, name: str, kinds: type[Kind], default: Kind | None = None) -> Kind:
        said = self.get(name)
        if said is None and default is not None:
            return default
        if isinstance(said, str) and said in {str(kind) for kind in kinds}:
            return kinds(said)
        self.wrong(name, _("One of these, please: %(all)s.") % {"all": ", ".join(filter(None, map(str, kinds)))})
        return next(iter(kinds))

    def yes(self, name: str) -> bool:
        said = self.get(name)
        if said is not None and not isinstance(said, bool):
            self.wrong(name, _("true or false, please."))
        return said is True

    def whole(self, name: str, low: int, high: int, default: int | None = None) -> int:
        said = self.get(name)
        return default if said is None and default is not None else self._whole(name, said, low, high)

    def _whole(self, name: str, said: object, low: int, high: int) -> int:
        if isinstance(said, int) and not isinstance(said, bool) and low <= said <= high:
            return said
        self.wrong(name, _("A whole number from %(low)d to %(high)d, please.") % {"low": low, "high": high})
        return low

    def number(self, name: str, low: float, high: float, default: Decimal | None = None) -> Decimal:
        said = self.get(name)
        return default if said is None and default is not None else self._number(name, said, low, high)

    def _number(self, name: str, said: object, low: float, high: float) -> Decimal:
        """To a hundredth: nobody sets out a cone more exactly."""
        if isinstance(said, int | float) and not isinstance(said, bool) and low <= said <= high:
            return Decimal(str(round(said, 2))).normalize() + 0
        self.wrong(name, _("A number from %(low)g to %(high)g, please.") % {"low": low, "high": high})
        return Decimal(str(low))

    # --- several -------------------------------------------------------------------------------------------------

    def span(self, name: str, low: int, high: int) -> tuple[int, int]:
        """Two whole numbers, the least and the most."""
        said = self._row(name, 2, 2, _("Two numbers are wanted here, the least and the most: [2, 4]."))
        if len(said) != 2:
            return low, high
        least, most = (self._whole(name, one, low, high) for one in said)
        if least > most:
            self.wrong(name, _("The least cannot be more than the most."))
        return least, most

    def point(self, name: str, low: float, high: float) -> tuple[Decimal, Decimal]:
        return self.points(name, (1, 1), low, high, [self.get(name)])[0]

    def points(
        self, name: str, count: tuple[int, int], low: float, high: float, rows: list[object] | None = None
    ) -> tuple[tuple[Decimal, Decimal], ...]:
        """Pairs of numbers. rows: if they were read already."""
        found = []
        words = _("Points are wanted here: [[1, 2], [3, 4]].")
        for pair in rows if rows is not None else self._row(name, *count, words):
            if isinstance(pair, list) and len(pair) == 2:
                found.append((self._number(name, pair[0], low, high), self._number(name, pair[1], low, high)))
            else:
                self.wrong(name, _("Two numbers are wanted here, right and up: [1.5, 3]."))
        return tuple(found) or ((Decimal(0), Decimal(0)),) * count[0]

    def texts(self, name: str, count: tuple[int, int], most: int) -> tuple[str, ...]:
        rows = self._row(name, *count, _("A list of texts is wanted here, in square brackets."))
        lines = Reader({str(n): row for n, row in enumerate(rows, start=1)}, self._inside(name), self.troubles)
        return tuple(lines.text(name, most, 1) for name in lines.data)

    def choices(self, name: str, count: tuple[int, int], kinds: type[Kind]) -> tuple[Kind, ...]:
        rows = self._row(name, *count, _("A list is wanted here, in square brackets."))
        lines = Reader({str(n): row for n, row in enumerate(rows, start=1)}, self._inside(name), self.troubles)
        return tuple(dict.fromkeys(lines.choice(name, kinds) for name in lines.data))

    def counts(self, name: str, most: int, highest: int, length: int = 40) -> dict[str, int]:
        """Names and numbers, like {"cones": 8}."""
        if not self.has(name):
            return {}
        inner = self.inner(name)
        if len(inner.data) > most:
            self.wrong(name, _("At most %(most)d, please.") % {"most": most})
        found = {}
        for key in list(inner.data)[:most]:
            clean = " ".join(key.split())
            if not 0 < len(clean) <= length or set(clean) & set(":;") or not clean.isprintable():
                self.wrong(name, _("A name of at most %(length)d letters, without : or ;.") % {"length": length})
            found[clean] = inner.whole(key, 1, highest)
        return found

    def inner(self, name: str) -> Reader:
        return Reader(self.get(name), self._inside(name), self.troubles)

    def each(self, name: str, most: int) -> Iterator[Reader]:
        """The objects of a list, each read to its end."""
        for number, row in enumerate(self._row(name, 0, most, _("A list is wanted here, in square brackets."))):
            reader = Reader(row, f"{self._inside(name)}[{number + 1}]", self.troubles)
            yield reader
            reader.close()

    def _inside(self, name: str) -> str:
        return f"{self.at}.{name}".strip(".")

    def _row(self, name: str, least: int, most: int, words: str) -> list[object]:
        said = self.get(name)
        if said is None and not least:
            return []
        if not isinstance(said, list):
            self.wrong(name, words)
            return []
        if not least <= len(said) <= most:
            sentence = _("From %(least)d to %(most)d of them, please; there are %(n)d.")
            self.wrong(name, sentence % {"least": least, "most": most, "n": len(said)})
        return said[:most]
