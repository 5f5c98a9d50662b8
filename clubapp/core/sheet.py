"""A table as a workbook (Office Open XML, ECMA-376) in which nothing anybody typed can run as a formula."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence

import xlsxwriter

TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
# A name that begins with "=" or "http:" is a name; no file is laid down beside the answer.
PLAIN = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False, "in_memory": True}


def workbook(header: Sequence[str], rows: Iterable[Sequence[str | int]]) -> bytes:
    """One sheet with a line of headings that stays in sight."""
    file = io.BytesIO()
    with xlsxwriter.Workbook(file, PLAIN) as book:
        page = book.add_worksheet()
        page.freeze_panes(1, 0)
        for number, row in enumerate((header, *rows)):
            page.write_row(number, 0, row)
        page.autofit()
    return file.getvalue()
