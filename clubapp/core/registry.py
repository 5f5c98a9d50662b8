"""What must reach upwards registers itself here in AppConfig.ready."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest
from django.utils.functional import Promise


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


@dataclass(frozen=True)
class Guest:
    """Somebody without an account who was let in for one session; `until`: when that is over."""

    id: UUID
    until: datetime


@dataclass(frozen=True)
class Keeping:
    """Something a club keeps for a stated time only.

    months: the period unless the club says otherwise; least, most: what it may say; why: a word to the usual one.
    goes: (club id, first day that is kept) -> a sentence for each thing from before that day.
    clear: removes just that, and says in the log by whom (None: the club's monthly run). None: not this way.
    """

    name: str
    title: str | Promise
    why: str | Promise
    months: int
    least: int
    most: int
    goes: Callable[[UUID, date], list[str]]
    clear: Callable[[UUID, date, Any], None] | None


@dataclass(frozen=True)
class News:
    """Something guardians may have asked to be told at once. topic: of which sort; until: from when it is of no use.

    It names nobody: how it is worded is for whoever brings it.
    """

    topic: str
    club_id: UUID
    guardians: tuple[UUID, ...]
    until: datetime | None = None


@dataclass
class Registry:
    """Columns, exports and erasers by name; the names are app labels or column headings."""

    columns: dict[str, ImportColumn] = field(default_factory=dict)
    exporters: dict[str, Callable[[UUID], Any]] = field(default_factory=dict)
    erasers: dict[str, Callable[[UUID], None]] = field(default_factory=dict)
    mergers: dict[str, Callable[[UUID, UUID], None]] = field(default_factory=dict)
    row_notes: dict[str, Callable[[UUID], Mapping[UUID, RowNote]]] = field(default_factory=dict)
    out_of_plan: dict[str, Callable[[UUID], Iterable[UUID]]] = field(default_factory=dict)

    logged: dict[str, Callable[[UUID], Any]] = field(default_factory=dict)
    keepings: dict[str, Keeping] = field(default_factory=dict)
    stays: dict[str, Callable[[UUID], Iterable[str]]] = field(default_factory=dict)
    guests: dict[str, Callable[[HttpRequest], Guest | None]] = field(default_factory=dict)
    ends: dict[str, Callable[[UUID], datetime | None]] = field(default_factory=dict)
    last: dict[str, Callable[[Any, UUID], bool]] = field(default_factory=dict)
    criers: dict[str, Callable[[News], None]] = field(default_factory=dict)
    couriers: dict[str, Callable[[Any], None]] = field(default_factory=dict)
    partings: dict[str, Callable[[UUID, bool], None]] = field(default_factory=dict)
    signed_out: dict[str, Callable[[Mapping[str, Any]], None]] = field(default_factory=dict)
    restored: dict[str, Callable[[], None]] = field(default_factory=dict)
    came: dict[str, Callable[[list[UUID]], Mapping[UUID, frozenset[UUID]]]] = field(default_factory=dict)

    def add_guests(self, app: str, guest: Callable[[HttpRequest], Guest | None]) -> None:
        """`guest` says who this is without an account, or None."""
        self.guests[app] = guest

    def guest(self, request: HttpRequest) -> Guest | None:
        return next((guest for find in self.guests.values() if (guest := find(request))), None)

    def add_ends(self, app: str, end: Callable[[UUID], datetime | None]) -> None:
        """`end` takes a session's id and answers with its planned end, or None if it is not today's."""
        self.ends[app] = end

    def add_last(self, app: str, is_last: Callable[[Any, UUID], bool]) -> None:
        """`is_last` takes a user and a session's id: does this adult stay until every child was collected?"""
        self.last[app] = is_last

    def is_last(self, user: Any, session_id: UUID) -> bool:
        return any(find(user, session_id) for find in self.last.values())

    def cry(self, news: News) -> None:
        """Written with the change it tells of, in its transaction."""
        for bring in self.criers.values():
            bring(news)

    def part(self, user_id: UUID, *, restricted: bool) -> None:
        """An account may see a child no more. restricted: by a word of the club, so what it held is over for good."""
        for end in self.partings.values():
            end(user_id, restricted)

    def sign_out(self, data: Mapping[str, Any]) -> None:
        """A sign-in ends; data: what it remembered."""
        for end in self.signed_out.values():
            end(data)

    def add_came(self, app: str, came: Callable[[list[UUID]], Mapping[UUID, frozenset[UUID]]]) -> None:
        """`came` takes ids of sessions and names the children who were at each; those nobody marked are not in it."""
        self.came[app] = came

    def who_came(self, session_ids: list[UUID]) -> dict[UUID, frozenset[UUID]]:
        return {session: ids for find in self.came.values() for session, ids in find(session_ids).items()}

    def end_today(self, session_id: UUID) -> datetime | None:
        return next((end for find in self.ends.values() if (end := find(session_id))), None)

    def add_column(self, column: ImportColumn) -> None:
        self.columns[column.name] = column

    def add_row_notes(self, app: str, notes: Callable[[UUID], Mapping[UUID, RowNote]]) -> None:
        """`notes` takes a session's id and answers with remarks by athlete id."""
        self.row_notes[app] = notes

    def add_out_of_plan(self, app: str, children: Callable[[UUID], Iterable[UUID]]) -> None:
        """`children` takes a session's id and names who is here but takes no part any more, a hurt child for one."""
        self.out_of_plan[app] = children

    def taken_out(self, session_id: UUID) -> frozenset[UUID]:
        """Children who are here and whom no plan may reckon with."""
        return frozenset(child for children in self.out_of_plan.values() for child in children(session_id))

    def add_child_data(self, app: str, *, export: Callable[[UUID], Any], erase: Callable[[UUID], None]) -> None:
        """Each app with a model that leads to a child says how to export and how to erase that child."""
        self.exporters[app] = export
        self.erasers[app] = erase

    def add_stays(self, app: str, stays: Callable[[UUID], Iterable[str]]) -> None:
        """`stays` takes a child's id and says in sentences what has to be kept when its record is erased."""
        self.stays[app] = stays

    def add_logged(self, app: str, entries: Callable[[UUID], Any]) -> None:
        """`entries` takes a club's id: rows of (when, user id, verb, kind, about id) that are only ever added."""
        self.logged[app] = entries

    def add_keeping(self, keeping: Keeping) -> None:
        self.keepings[keeping.name] = keeping

    def add_merge(self, app: str, merge: Callable[[UUID, UUID], None]) -> None:
        """`merge` takes the ids of the record that stays and of its double, and moves what the app keeps."""
        self.mergers[app] = merge


registry = Registry()
