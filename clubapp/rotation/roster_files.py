"""The two files of the command line: children, and stations. Bytes in, engine words out; what is wrong is named by
file, row and column.

Dates such as 9/4/2016 are read day first, unless a date of the same column can only be month first.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TypeVar

from clubapp.engine import words
from clubapp.people import cells, csvfile

NAMES = ("id", "given_name", "family_name")
ROSTER = (*NAMES, "date_of_birth", "sex", "skill", "first_timer", "speed_s", "together", "apart")
STATIONS = ("name", "x_m", "y_m", "intensity", "groups_min", "groups_max", "kit")
AGE = "age"
BORN = "date_of_birth"
V = TypeVar("V")


class InputError(ValueError):
    """A file or an argument cannot be used; the message names it, and where in it."""


@dataclass(frozen=True)
class Roster:
    """names: what people call a child, by id. together, apart: ids that share a label."""

    athletes: tuple[words.Athlete, ...]
    names: Mapping[str, str]
    together: tuple[frozenset[str], ...]
    apart: tuple[frozenset[str], ...]
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sheet:
    """A table with its name, so that every complaint can say where it is."""

    name: str
    header: Mapping[str, str]
    rows: tuple[csvfile.Row, ...]
    warnings: list[str] = field(default_factory=list)

    def has(self, column: str) -> bool:
        return column in self.header

    def text(self, row: csvfile.Row, column: str) -> str:
        return row.cells[self.header[column]].strip() if column in self.header else ""

    def value(self, row: csvfile.Row, column: str, parse: Callable[[str], V]) -> V:
        """A cell as the parser reads it."""
        try:
            return parse(self.text(row, column))
        except ValueError as error:
            raise self.wrong(row, column, str(error)) from error

    def wrong(self, row: csvfile.Row, column: str, sentence: str) -> InputError:
        return InputError(f"{self.name}, row {row.number}, column {column}: {sentence}")


def sheet(name: str, data: bytes, known: Collection[str]) -> Sheet:
    """Open a table; columns nobody knows are left aside, and said."""
    try:
        table = csvfile.read(data)
    except csvfile.CsvError as error:
        where = "" if error.row is None else f", row {error.row}"
        raise InputError(f"{name}{where}: {error}") from error
    header = {heading.strip().casefold(): heading for heading in table.header}
    strange = [heading for plain, heading in header.items() if plain not in known]
    warnings = [f"{name}, row 1: the column “{heading}” is not known and left aside." for heading in strange]
    return Sheet(name, header, table.rows, warnings)


def read_roster(name: str, data: bytes, balance: Collection[str], on: date) -> Roster:
    """The children of a file. balance: attributes whose columns must be there. on: the session's date."""
    page = sheet(name, data, {*ROSTER, *balance})
    _check_columns(page, balance)
    order = _date_order(page)
    measures = [column for column in ("speed_s", "skill", *balance) if column != AGE and page.has(column)]
    athletes, names = [], {}
    for row in page.rows:
        ident, called = _called(page, row)
        if ident in names:
            raise page.wrong(row, "id" if page.text(row, "id") else "given_name", f"“{ident}” stands there twice.")
        names[ident] = called
        born = page.value(row, BORN, lambda text: cells.birth_date(cells.date_cell(text, order), on))
        values = {column: _measure(page, row, column) for column in measures}
        known = {column: value for column, value in values.items() if value is not None}
        athletes.append(words.Athlete(ident, known, frozenset(_kinds(page, row)), born))
    rules = {column: tuple(_labelled(page, column)) for column in ("together", "apart")}
    return Roster(tuple(athletes), names, rules["together"], rules["apart"], tuple(page.warnings))


def _check_columns(page: Sheet, balance: Collection[str]) -> None:
    if not any(page.has(column) for column in NAMES):
        raise InputError(f"{page.name}, row 1: there is no column id, given_name or family_name.")
    for attribute in balance:
        column = BORN if attribute == AGE else attribute
        if not page.has(column):
            raise InputError(
                f"{page.name}, row 1, column {column}: it is not there, and {attribute} is to be balanced. "
                "Add it, or say with --balance what else."
            )
    if not page.rows:
        raise InputError(f"{page.name}: there is no child in it.")


def _date_order(page: Sheet) -> cells.DateOrder:
    """Day first, unless the column shows that it is the other way round."""
    texts = [page.text(row, BORN) for row in page.rows]
    order = cells.date_order(texts)
    if order is not cells.DateOrder.AMBIGUOUS:
        return order
    page.warnings.append(f"{page.name}, column {BORN}: dates such as 9/4/2016 are read day first.")
    return cells.DateOrder.DMY


def _called(page: Sheet, row: csvfile.Row) -> tuple[str, str]:
    """Id and name of a child; where one is missing the other stands for it."""
    ident, *name = (page.value(row, column, cells.clean) for column in NAMES)
    called = " ".join(part for part in name if part)
    if not ident and not called:
        raise page.wrong(row, next(column for column in NAMES if page.has(column)), "the child has no id and no name.")
    return ident or called, called or ident


def _measure(page: Sheet, row: csvfile.Row, column: str) -> float | None:
    parsers: dict[str, Callable[[str], object]] = {"speed_s": cells.seconds_cell, "skill": cells.skill_cell}
    value = page.value(row, column, parsers.get(column, number))
    return None if value is None else float(str(value))


def number(text: str) -> float | None:
    """A finite number, with a decimal point or comma."""
    if not text:
        return None
    if not re.fullmatch(r"[+-]?[0-9]{1,9}(?:[.,][0-9]{1,9})?", text):
        raise ValueError(f"“{text}” is no number.")
    return float(text.replace(",", "."))


def _kinds(page: Sheet, row: csvfile.Row) -> Iterator[str]:
    if sex := page.value(row, "sex", cells.sex_cell):
        yield f"sex:{sex}"
    first = page.value(row, "first_timer", cells.yes_no_cell)
    if first is not None:
        yield "first_timer:yes" if first else "first_timer:no"


def _labelled(page: Sheet, column: str) -> Iterator[frozenset[str]]:
    """Children by the label they share."""
    shared: dict[str, set[str]] = {}
    for row in page.rows:
        for label in page.value(row, column, cells.labels_cell):
            shared.setdefault(label, set()).add(_called(page, row)[0])
    for label, children in shared.items():
        if len(children) == 1:
            only = next(iter(children))
            page.warnings.append(f"{page.name}, column {column}: only {only} has the label “{label}”.")
        yield frozenset(children)


def read_stations(name: str, data: bytes) -> tuple[tuple[words.Station, ...], tuple[str, ...]]:
    """The stations of a file, and what should be said about it."""
    page = sheet(name, data, STATIONS)
    if not page.has("name"):
        raise InputError(f"{page.name}, row 1, column name: it is not there.")
    if not page.rows:
        raise InputError(f"{page.name}: there is no station in it.")
    stations: list[words.Station] = []
    for row in page.rows:
        made = _station(page, row)
        if made.id in {station.id for station in stations}:
            raise page.wrong(row, "name", f"“{made.id}” stands there twice.")
        stations.append(made)
    return tuple(stations), tuple(page.warnings)


def _station(page: Sheet, row: csvfile.Row) -> words.Station:
    name = page.value(row, "name", cells.clean)
    if not name:
        raise page.wrong(row, "name", "the station has no name.")
    x_m, y_m = (page.value(row, column, number) for column in ("x_m", "y_m"))
    if (x_m is None) != (y_m is None):
        raise page.wrong(row, "y_m" if y_m is None else "x_m", "a place needs both x_m and y_m.")
    least, most = (page.value(row, column, count) for column in ("groups_min", "groups_max"))
    station = words.Station(name, x_m, y_m, hard=page.value(row, "intensity", _hard), groups_min=least or 0)
    station = replace(station, groups_max=max(1, least or 0) if most is None else most)
    if station.groups_max < max(1, station.groups_min):
        raise page.wrong(row, "groups_max", f"at most {station.groups_max} cannot be: at least {max(1, least or 0)}.")
    return replace(station, kit=page.value(row, "kit", kit))


def _hard(text: str) -> bool:
    word = text.casefold()
    if word not in ("", "easy", "hard"):
        raise ValueError(f"“{text}” is neither easy nor hard.")
    return word == "hard"


def count(text: str) -> int | None:
    """A whole number from 0 up."""
    if text and not re.fullmatch(r"[0-9]{1,6}", text):
        raise ValueError(f"“{text}” is no whole number from 0 up.")
    return int(text) if text else None


def kit(text: str) -> dict[str, int]:
    """cones:8;balls:4"""
    found: dict[str, int] = {}
    for part in (part.strip() for part in text.split(";")):
        if part:
            kind, _, pieces = (piece.strip() for piece in part.partition(":"))
            if not kind or not pieces or kind in found:
                raise ValueError(f"“{part}” is no kit: write cones:8;balls:4, each kind once.")
            found[kind] = count(pieces) or 0
    return found


def a_date(text: str) -> date:
    """2026-04-11, or 11/4/2026 with the day first."""
    found = cells.date_cell(text, cells.DateOrder.DMY)
    if found is None:
        raise ValueError("there is no date.")
    return found


def a_number(text: str) -> float:
    """A number above 0, as an argument."""
    found = number(text.strip())
    if found is None or not 0 < found < math.inf:
        raise ValueError(f"“{text}” is no number above 0.")
    return found
