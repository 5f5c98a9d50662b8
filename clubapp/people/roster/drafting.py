"""A roster between upload and confirmation, as it is sealed and opened again."""

from __future__ import annotations

import json
from collections.abc import Sequence

from clubapp.people import cells, csvfile
from clubapp.people.cells import DateOrder
from clubapp.people.csvfile import Row, Table
from clubapp.people.models import Club, ImportDraft, Squad
from clubapp.people.roster import columns, snapshot
from clubapp.people.roster.preview import Preview, preview
from clubapp.people.roster.rows import Reading, read_rows


def packed(table: Table) -> str:
    """The table as text, to be sealed."""
    rows = [[row.number, [row.cells[name] for name in table.header]] for row in table.rows]
    return json.dumps({"header": table.header, "rows": rows, "delimiter": table.delimiter})


def unpacked(text: str) -> Table:
    found = json.loads(text)
    header = tuple(found["header"])
    rows = tuple(Row(number, dict(zip(header, cells, strict=True))) for number, cells in found["rows"])
    return Table(header, rows, found["delimiter"])


def as_text(draft: ImportDraft) -> str:
    """The rows as they can be pasted again, to be put right by hand."""
    table = unpacked(draft.table)
    rows = ([row.cells[name] for name in table.header] for row in table.rows)
    return csvfile.write(table.header, rows).decode("utf-8-sig").replace("\r\n", "\n")


def order_of(table: Table, meanings: Sequence[str]) -> DateOrder:
    """What the columns of dates say together about day and month."""
    dated = [heading for heading, name in zip(table.header, meanings, strict=True) if name in columns.DATES]
    return cells.date_order(row.cells[heading] for row in table.rows for heading in dated)


def preview_of(draft: ImportDraft) -> Preview:
    """What the draft would do to the club as it stands now."""
    table = unpacked(draft.table)
    reading = Reading(
        columns=dict(zip(table.header, draft.columns, strict=True)),
        order=DateOrder(draft.date_order or DateOrder.EITHER),
        today=draft.club.today(),
        squads=squads_of(draft.club),
    )
    return preview(read_rows(table.rows, reading), snapshot.take(draft.club))


def squads_of(club: Club) -> dict[str, str]:
    """Ids by name in lower case."""
    return {name.casefold(): str(pk) for pk, name in Squad.objects.filter(club=club).values_list("pk", "name")}


def left_out(draft: ImportDraft) -> list[str]:
    """The headings that mean nothing here, so that nobody believes they were taken over."""
    header = unpacked(draft.table).header
    return [heading for heading, name in zip(header, draft.columns, strict=True) if not name]
