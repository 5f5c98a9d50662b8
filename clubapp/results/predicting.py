"""A file of results, read and turned into predictions: bytes in, rows out. What is wrong is named by row and column."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from clubapp.engine import ability
from clubapp.people import cells, csvfile

NEEDED = ("child", "trial", "date", "seconds")
BORN = "date_of_birth"
OUT = ("child", "trial", "median_s", "low_s", "high_s", "results")


class InputError(ValueError):
    """The file or an argument cannot be used; the message says where and why."""


@dataclass(frozen=True)
class Sheet:
    """Everything the file says. born: by child, where a date of birth is given."""

    results: tuple[ability.Result, ...]
    born: Mapping[str, date]

    @property
    def children(self) -> tuple[ability.Child, ...]:
        """Every child of the file, in the order of the alphabet."""
        return tuple(
            ability.Child(child, self.born[child].toordinal() if child in self.born else None)
            for child in sorted({row.child for row in self.results})
        )


@dataclass(frozen=True)
class Row:
    """A child on the trial asked for, in seconds: four in five runs lie from low to high. results: how many it has."""

    child: str
    trial: str
    median_s: float
    low_s: float
    high_s: float
    results: int


# --- in --------------------------------------------------------------------------------------------------------------


def read(data: bytes) -> Sheet:
    """Take the file apart.

    Raises:
        InputError: a column is missing, or a cell cannot be read; the row and the column are named.
    """
    try:
        table = csvfile.read(data)
    except csvfile.CsvError as error:
        raise InputError(str(error)) from error
    columns = {name.strip().casefold(): name for name in table.header}
    missing = [name for name in NEEDED if name not in columns]
    if missing:
        raise InputError(f"the file has no column {', '.join(missing)}")
    order = {name: cells.date_order(row.cells[columns[name]] for row in table.rows)
             for name in ("date", BORN) if name in columns}  # fmt: skip
    results: list[ability.Result] = []
    born: dict[str, date] = {}
    for row in table.rows:
        text = {name: row.cells[heading].strip() for name, heading in columns.items()}
        results.append(_result(row.number, text, order["date"]))
        if text.get(BORN):
            _note_birth(row.number, text, order[BORN], born)
    if not results:
        raise InputError("the file holds no results")
    return Sheet(tuple(results), born)


def _result(number: int, text: Mapping[str, str], order: cells.DateOrder) -> ability.Result:
    for name in NEEDED:
        if not text[name]:
            raise InputError(f"row {number}, {name}: the cell is empty")
    return ability.Result(
        child=text["child"],
        trial=text["trial"],
        day=_day(number, "date", text["date"], order).toordinal(),
        seconds=_seconds(number, text["seconds"]),
    )


def _day(number: int, column: str, text: str, order: cells.DateOrder) -> date:
    try:
        day = cells.date_cell(text, order)
    except cells.CellError as error:
        raise InputError(f"row {number}, {column}: {error}") from error
    assert day is not None  # the cell is not empty
    return day


def _seconds(number: int, text: str) -> float:
    try:
        value = cells.seconds_cell(text)
    except cells.CellError as error:
        raise InputError(f"row {number}, seconds: {error}") from error
    assert value is not None  # the cell is not empty
    return float(value)


def _note_birth(number: int, text: Mapping[str, str], order: cells.DateOrder, born: dict[str, date]) -> None:
    day = _day(number, BORN, text[BORN], order)
    if born.setdefault(text["child"], day) != day:
        raise InputError(f"row {number}, {BORN}: {text['child']} has another date of birth further up")


# --- out -------------------------------------------------------------------------------------------------------------


def predict(sheet: Sheet, *, trial: str, as_of: date) -> tuple[Row, ...]:
    """Every child of the file on `trial`, from the results up to that day; later ones are not looked at.

    Raises:
        InputError: nobody has run the trial by then.
    """
    day = as_of.toordinal()
    results = [row for row in sheet.results if row.day <= day]
    if not any(row.trial == trial for row in results):
        known = ", ".join(sorted({row.trial for row in results})) or "none"
        raise InputError(f"nobody has a result on “{trial}” by {as_of}; trials with results: {known}")
    fitted = ability.fit(results, sheet.children)
    return tuple(_row(fitted, child, trial, day, results) for child in sheet.children)


def _row(fitted: ability.Ability, child: ability.Child, trial: str, day: int, results: Sequence[ability.Result]) -> Row:
    found = fitted.predict(child, trial, day)
    low, high = found.between()
    count = sum(row.child == child.id for row in results)
    return Row(child.id, trial, found.median_s, low, high, count)


def as_json(rows: Sequence[Row], as_of: date) -> str:
    """An object with the day and a list of the rows; seconds to the millisecond."""
    listed = [
        {name: round(value, 3) if isinstance(value, float) else value for name, value in vars(row).items()}
        for row in rows
    ]
    return json.dumps({"as_of": as_of.isoformat(), "interval": 0.8, "predictions": listed}, indent=2)


def as_csv(rows: Sequence[Row]) -> str:
    """One line a child, seconds to the hundredth; no cell that a spreadsheet would run."""
    text = io.StringIO(newline="")
    lines = csv.writer(text, lineterminator="\r\n")
    lines.writerow(OUT)
    for row in rows:
        seconds = [f"{value:.2f}" for value in (row.median_s, row.low_s, row.high_s)]
        lines.writerow([csvfile.defused(row.child), csvfile.defused(row.trial), *seconds, row.results])
    return text.getvalue()


def as_text(rows: Sequence[Row]) -> str:
    """A line a child, for eyes."""
    widest = max(len(row.child) for row in rows)
    return "\n".join(
        f"{row.child:<{widest}}  {row.median_s:6.2f} s   four in five from {row.low_s:.2f} to {row.high_s:.2f} s"
        for row in rows
    )
