"""What must reach upwards registers itself here in AppConfig.ready."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any
from uuid import UUID


@dataclass(frozen=True)
class ImportColumn:
    """A roster column another app keeps.

    name: the column's heading in our own files; aliases: other headings to recognise, lower case.
    check: raw cell -> value, or ValueError with a sentence for the coach.
    write: (club id, {athlete id: value}, the import's date) -> what undo needs, as JSON.
    undo: takes back what `write` returned.
    current: athlete ids -> {id: cell text} for export and for telling new from same.
    """

    name: str
    aliases: tuple[str, ...]
    check: Callable[[str], Any]
    write: Callable[[UUID, Mapping[UUID, Any], date], Any]
    undo: Callable[[Any], None]
    current: Callable[[list[UUID]], Mapping[UUID, str]]


@dataclass(frozen=True)
class RowNote:
    """A remark on a child's row of the register that a higher app knows of ("here, in no group"), and where to act.

    act: an address that takes the child's id as `athlete` by POST and mends it with one tap; label: what the tap says.
    """

    text: str
    link: str = ""
    act: str = ""
    label: str = ""


@dataclass
class Registry:
    """Columns, exports and erasers by name; the names are app labels or column headings."""

    columns: dict[str, ImportColumn] = field(default_factory=dict)
    exporters: dict[str, Callable[[UUID], Any]] = field(default_factory=dict)
    erasers: dict[str, Callable[[UUID], None]] = field(default_factory=dict)
    row_notes: dict[str, Callable[[UUID], Mapping[UUID, RowNote]]] = field(default_factory=dict)

    def add_column(self, column: ImportColumn) -> None:
        self.columns[column.name] = column

    def add_row_notes(self, app: str, notes: Callable[[UUID], Mapping[UUID, RowNote]]) -> None:
        """`notes` takes a session's id and answers with remarks by athlete id."""
        self.row_notes[app] = notes

    def add_child_data(self, app: str, *, export: Callable[[UUID], Any], erase: Callable[[UUID], None]) -> None:
        """Each app with a model that leads to a child says how to export and how to erase that child."""
        self.exporters[app] = export
        self.erasers[app] = erase


registry = Registry()
