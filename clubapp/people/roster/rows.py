"""What one row of the file says, cell by cell, and everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import partial
from typing import Any

from django.utils.translation import gettext as _

from clubapp.core.registry import registry
from clubapp.people import cells
from clubapp.people.cells import CellError, DateOrder
from clubapp.people.csvfile import Row
from clubapp.people.roster import adults

LENGTHS = {"id": 40, "name": 120, "given_name": 60, "family_name": 60, "known_as": 60}
MOST_LABEL = 60
Parser = Callable[[str], Any]


@dataclass(frozen=True)
class Reading:
    """How a file is to be read: what each column means, how its dates are meant, and what the club has."""

    columns: Mapping[str, str]  # heading -> our name
    order: DateOrder
    today: date
    squads: Mapping[str, str]  # name in lower case -> id


@dataclass(frozen=True)
class Said:
    """A row's values and cells by our names, empty ones left out, and its faults, each with its heading."""

    number: int
    values: Mapping[str, Any]
    faults: tuple[str, ...]
    texts: Mapping[str, str] = field(default_factory=dict)

    @property
    def whole_name(self) -> str:
        parts = (self.values.get("given_name", ""), self.values.get("family_name", ""))
        return " ".join(part for part in parts if part)


def read_rows(rows: Sequence[Row], reading: Reading) -> list[Said]:
    parsers = [(heading, name, _parser(name, reading)) for heading, name in reading.columns.items() if name]
    return [_said(row, parsers) for row in rows]


def _said(row: Row, parsers: list[tuple[str, str, Parser]]) -> Said:
    values: dict[str, Any] = {}
    faults: list[str] = []
    for heading, name, parse in parsers:
        text = row.cells[heading]
        if not text.strip():
            continue
        try:
            value = parse(text)
        except ValueError as error:
            faults.append(f"{heading}: {error}")
        else:
            values |= {name: value} if value not in (None, "", ()) else {}
    _split_name(values)
    faults += [*_disagreements(values), *adults.gather(values)]
    texts = {name: row.cells[heading].strip() for heading, name, _parse in parsers}
    return Said(row.number, values, tuple(faults), texts)


def _split_name(values: dict[str, Any]) -> None:
    """A whole name gives a given and a family name for a new child; "Reed, Ada" is the other way round."""
    whole = values.get("name")
    if whole:
        family, comma, given = whole.partition(",")
        if not comma:
            given, _space, family = whole.partition(" ")
        values["given_name"], values["family_name"] = given.strip(), family.strip()


def _disagreements(values: Mapping[str, Any]) -> list[str]:
    born, year = values.get("date_of_birth"), values.get("birth_year")
    if born and year and born.year != year:
        return [_("The date of birth and the year of birth do not agree.")]
    return []


def _parser(name: str, reading: Reading) -> Parser:
    if name in registry.columns:
        return registry.columns[name].check
    if name in adults.columns():
        return partial(adults.parse, name)
    if name in LENGTHS:
        return lambda text: _short(cells.clean(text), LENGTHS[name])
    parsers: dict[str, Parser] = {
        "date_of_birth": lambda text: cells.birth_date(cells.date_cell(text, reading.order), reading.today),
        "birth_year": lambda text: cells.birth_year(cells.year_cell(text), reading.today),
        "joined": lambda text: cells.past(cells.date_cell(text, reading.order), reading.today),
        "sex": cells.sex_cell,
        "skill": cells.skill_cell,
        "together": _labels,
        "apart": _labels,
        "squads": lambda text: _squads(text, reading.squads),
    }
    return parsers[name]


def _short(text: str, most: int) -> str:
    if len(text) > most:
        raise CellError(_("“%(start)s…” is longer than %(most)d letters.") % {"start": text[:12], "most": most})
    return text


def _labels(text: str) -> tuple[str, ...]:
    return tuple(sorted(_short(label, MOST_LABEL) for label in cells.labels_cell(text)))


def _squads(text: str, squads: Mapping[str, str]) -> tuple[str, ...]:
    """Ids of the squads named."""
    names = cells.labels_cell(text)
    unknown = next((name for name in names if name.casefold() not in squads), None)
    if unknown is not None:
        raise CellError(_("The club has no squad called “%(name)s”.") % {"name": unknown})
    return tuple(sorted(squads[name.casefold()] for name in names))
