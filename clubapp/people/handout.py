"""A child's record as a family can read it: names of other people blanked, and the whole packed as one file."""

from __future__ import annotations

import io
import json
import re
import zipfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.template.loader import render_to_string
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from clubapp.people import csvfile
from clubapp.people.models import Athlete, Guardian, Membership

# What names an adult whatever stands in it; free text is gone through name by name.
OF_OTHERS = {"by", "with_whom", "guardian", "written_by", "written_down_by", "stays_with", "told_whom", "who"}
# Parts as they are called on screen and in the page; the names of files stay.
TITLES = {
    "people": _lazy("Details"),
    "people adults": _lazy("What adults are to the child"),
    "people consents": _lazy("Consents"),
    "results": _lazy("Results of timed tests"),
    "register marks": _lazy("Marks in the register"),
    "register answers": _lazy("Answers when the child was expected"),
    "register brought": _lazy("What was brought"),
    "register pick ups": _lazy("Somebody else to take the child home"),
    "register coming late": _lazy("Coming late, as announced"),
    "rotation": _lazy("Groups"),
    "games": _lazy("Games"),
    "live where": _lazy("Where the child was on the field"),
    "live incidents": _lazy("Incident notes"),
    "health": _lazy("Health note"),
}


@dataclass(frozen=True)
class Table:
    """One part of the record as a table; each cell is text."""

    name: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    @property
    def title(self) -> str:
        return str(TITLES.get(self.name, self.name))


def without_others(record: Mapping[str, Any], child: Athlete) -> dict[str, Any]:
    """The record without fields that name other people, and with their names taken out of what was written freely."""
    names = _names_of_others(child)
    known = re.compile(rf"\b(?:{'|'.join(map(re.escape, names))})\b", re.IGNORECASE) if names else None
    return {part: _blanked(value, known) for part, value in record.items()}


def _names_of_others(child: Athlete) -> list[str]:
    """Every word of the name of anybody else the club knows, the longest first; the child's own words stay."""
    fields = ("given_name", "family_name", "known_as")
    own = {word.casefold() for name in fields for word in getattr(child, name).split()}
    children = Athlete.objects.filter(club=child.club_id).exclude(pk=child.pk).values_list(*fields)
    adults = [
        *Guardian.objects.filter(club=child.club_id).values_list("name"),
        *Membership.objects.filter(club=child.club_id).values_list("user__name"),
    ]
    words = {word for row in (*children, *adults) for name in row for word in name.split() if len(word) > 1}
    return sorted((word for word in words if word.casefold() not in own), key=lambda word: (-len(word), word))


def _blanked(value: Any, known: re.Pattern[str] | None) -> Any:
    match value:
        case dict():
            return {key: _blanked(one, known) for key, one in value.items() if key not in OF_OTHERS}
        case list() | tuple():
            return [_blanked(one, known) for one in value]
        case str() if known:
            return known.sub(_("[somebody else]"), value)
        case _:
            return value


def packed(record: Mapping[str, Any], child: Athlete) -> bytes:
    """One ZIP: the whole as JSON, each part as CSV, and a page to read."""
    tables = list(_tables(record))
    page = render_to_string("people/record.html", {"child": child, "tables": tables, "on": child.club.today()})
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as pack:
        pack.writestr("record.html", page)
        pack.writestr("record.json", json.dumps(record, indent=2, ensure_ascii=False))
        for table in tables:
            pack.writestr(f"csv/{table.name.replace(' ', '-')}.csv", csvfile.write(table.header, table.rows))
    return file.getvalue()


def parts(record: Mapping[str, Any]) -> list[tuple[str, int]]:
    """Each part of a record with how many lines it holds; empty parts are left out."""
    return [(table.title, len(table.rows)) for table in _tables(record) if table.rows]


def _tables(record: Mapping[str, Any]) -> Iterable[Table]:
    for app, kept in record.items():
        lists = {"": kept} if isinstance(kept, list) else {k: v for k, v in kept.items() if _is_rows(v)}
        if isinstance(kept, dict):
            single = [{"what": _words(key), "value": value} for key, value in kept.items() if key not in lists]
            if single:
                yield _table(app, single)
        for key, rows in lists.items():
            if rows:
                yield _table(f"{app} {_words(key)}".strip(), rows)


def _is_rows(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(one, dict) for one in value)


def _table(name: str, rows: list[dict[str, Any]]) -> Table:
    header = tuple(dict.fromkeys(key for row in rows for key in row))
    return Table(name, header, tuple(tuple(_text(row.get(key)) for key in header) for row in rows))


def _words(key: str) -> str:
    return key.replace("_", " ")


def _text(value: Any) -> str:
    match value:
        case None:
            return ""
        case bool():
            return _("yes") if value else _("no")
        case dict():
            return ", ".join(f"{_words(key)}: {_text(one)}" for key, one in value.items())
        case list():
            return " | ".join(_text(one) for one in value)
        case _:
            return str(value)
