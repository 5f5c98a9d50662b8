"""Tables as spreadsheets save them: read from any of their habits, written so that they come back unchanged.

Pure text in, pure text out: nothing here knows a database. Row numbers are those a spreadsheet shows.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

DELIMITERS = (",", ";", "\t")
MOST_BYTES = 5 * 1024 * 1024
MOST_ROWS = 20_000
# A spreadsheet runs a cell that begins so as a formula. The marks before it are our own, one more each time.
FORMULA = re.compile("'*[=+\\-@\t\r\n＝＋－＠]")


class CsvError(ValueError):
    """The file cannot be read; the message is a sentence for the coach that names the row."""

    def __init__(self, sentence: str, row: int | None = None) -> None:
        super().__init__(sentence)
        self.row = row


@dataclass(frozen=True)
class Row:
    """One line of the table: its number in the spreadsheet and its cells by heading, without the marks of `defused`."""

    number: int
    cells: Mapping[str, str]


@dataclass(frozen=True)
class Table:
    """Headings in their order, the rows that are not blank, and what stood between the cells."""

    header: tuple[str, ...]
    rows: tuple[Row, ...]
    delimiter: str


def read(data: bytes) -> Table:
    """Read a table: UTF-8 or Windows-1252, comma, semicolon or tab, quoted newlines and doubled quotes (RFC 4180).

    Raises:
        CsvError: no heading, uneven rows, quotes that never close, or bytes that are no text.
    """
    text = _decoded(data)
    delimiter = _delimiter(text)
    records = _records(text, delimiter)
    if not records:
        raise CsvError(_("The file is empty. It needs a line of headings and one row for each child."))
    number, header = records[0]
    body = records[1:]
    kept = _headings(number, header, body)
    rows = tuple(Row(line, {name: undefused(cells[place]) for place, name in kept}) for line, cells in body)
    return Table(tuple(name for _place, name in kept), rows, delimiter)


def write(header: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """A file every spreadsheet opens: UTF-8 with its mark, commas, CRLF, no cell that could run as a formula."""
    text = io.StringIO(newline="")
    lines = csv.writer(text, lineterminator="\r\n")
    lines.writerow([defused(name) for name in header])
    lines.writerows([defused(cell) for cell in row] for row in rows)
    return text.getvalue().encode("utf-8-sig")


def defused(cell: str) -> str:
    """The cell with a mark before it, if a spreadsheet would run it."""
    return f"'{cell}" if FORMULA.match(cell) else cell


def undefused(cell: str) -> str:
    """The cell without the mark `defused` put there; any other cell as it is."""
    return cell[1:] if cell.startswith("'") and FORMULA.match(cell) else cell


def _decoded(data: bytes) -> str:
    if len(data) > MOST_BYTES:
        raise CsvError(_("The file is larger than 5 MB."))
    encoding = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        text = _western(data)
    if "\0" in text:
        raise CsvError(_("The file holds bytes that are no text. Save the sheet as CSV and try again."))
    return text


def _western(data: bytes) -> str:
    try:
        return data.decode("windows-1252")
    except UnicodeDecodeError as error:
        raise CsvError(_("The letters in the file cannot be read. Save the sheet as CSV in UTF-8.")) from error


def _delimiter(text: str) -> str:
    """Whichever parts the headings into most columns; a comma when none does."""
    line = next((line for line in text.splitlines() if line.strip()), "")
    outside = re.sub(r'"[^"]*"', "", line)
    return max(DELIMITERS, key=outside.count)


def _records(text: str, delimiter: str) -> list[tuple[int, list[str]]]:
    """Numbered rows without the blank ones, which a spreadsheet counts all the same."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    records: list[tuple[int, list[str]]] = []
    number = 0
    try:
        for number, cells in enumerate(reader, start=1):
            if any(cell.strip() for cell in cells):
                records.append((number, cells))
            if len(records) > MOST_ROWS:
                raise CsvError(_("The file has more than %(most)d rows.") % {"most": MOST_ROWS})
    except csv.Error as error:
        row = number + 1
        sentence = _("Row %(row)d: a quotation mark opens or closes in the wrong place.")
        if "limit" in str(error):
            sentence = _("Row %(row)d: a cell is too long, or a quotation mark never closes.")
        raise CsvError(sentence % {"row": row}, row) from error
    return records


def _headings(number: int, header: list[str], body: list[tuple[int, list[str]]]) -> list[tuple[int, str]]:
    """Place and name of each column; a column without a heading is dropped when nothing stands in it."""
    names = [undefused(name.strip()) for name in header]
    _check_twice(number, names)
    for row, cells in body:
        if len(cells) != len(names):
            sentence = _(
                "Row %(row)d has %(cells)d cells, the headings are %(headings)d: a separator too many or too few?"
            )
            raise CsvError(sentence % {"row": row, "cells": len(cells), "headings": len(names)}, row)
        stray = next((place for place, cell in enumerate(cells) if cell.strip() and not names[place]), None)
        if stray is not None:
            sentence = _("Row %(row)d: cell %(cell)d stands in a column without a heading.")
            raise CsvError(sentence % {"row": row, "cell": stray + 1}, row)
    return [(place, name) for place, name in enumerate(names) if name]


def _check_twice(number: int, names: list[str]) -> None:
    seen: set[str] = set()
    for name in names:
        if name and name.casefold() in seen:
            raise CsvError(_("Row %(row)d: two columns are called “%(name)s”.") % {"row": number, "name": name}, number)
        seen.add(name.casefold())
