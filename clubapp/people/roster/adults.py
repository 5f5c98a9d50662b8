"""The adults of a child in a roster: several in a row, each with what the family and the club said of them.

An empty cell changes nothing; whom to keep away from a child a file may say, and never take back.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clubapp.people import cells
from clubapp.people.models import Guardian, Guardianship
from clubapp.people.phones import check_phone

MOST = 4  # adults in a row
# The rest of a column's heading behind "adult_1" -> field of what is said, and its title.
PARTS = {
    "": ("name", gettext_lazy("name")),
    "_relation": ("relation", gettext_lazy("what to the child")),
    "_phone": ("phone", gettext_lazy("phone")),
    "_email": ("email", gettext_lazy("e-mail")),
    "_collects": ("collects", gettext_lazy("may collect (yes or no)")),
    "_restricted": ("restricted", gettext_lazy("contact restricted (yes)")),
}
OTHER_WORDS = ("guardian", "parent", "contact", "parent_carer", "emergency_contact")
OWN, TIED = ("phone", "email"), ("relation", "may_collect", "restricted")


@dataclass(frozen=True)
class AdultSaid:
    """One adult of a row; None and "" where the cell was empty."""

    name: str
    relation: str = ""
    phone: str = ""
    email: str = ""
    collects: bool | None = None
    restricted: bool | None = None


@dataclass(frozen=True)
class AdultChange:
    """What a row does to one adult: the tie it changes, None for an adult who is new to the child."""

    said: AdultSaid
    tie: Guardianship | None
    fields: Mapping[str, Any]

    @property
    def after(self) -> dict[str, Any]:
        """As plain data, so that only what was shown is confirmed."""
        return {"tie": str(self.tie.pk) if self.tie else "", **asdict(self.said)}


def names(number: int) -> list[str]:
    return [f"adult_{number}{part}" for part in PARTS]


def columns() -> dict[str, str]:
    """Every adult's column with its title."""
    return {
        f"adult_{number}{part}": _("Adult %(number)d: %(what)s") % {"number": number, "what": title}
        for number in range(1, MOST + 1)
        for part, (_field, title) in PARTS.items()
    }


def aliases() -> dict[str, str]:
    """Headings other people use -> our names; without a number the first adult is meant."""
    found: dict[str, str] = {}
    for number in range(1, MOST + 1):
        for word in OTHER_WORDS:
            for part in PARTS:
                ours, its = f"adult_{number}{part}", part or "_name"
                found |= {f"{word}_{number}{its}": ours, f"{word}{number}{its}": ours, f"{word}_{number}{part}": ours}
                found |= {f"{word}{its}": ours, f"{word}{part}": ours} if number == 1 else {}
    return found


def parse(column: str, text: str) -> Any:
    """What a cell says; raises CellError in words."""
    part = PARTS["_" + column.split("_", 2)[2] if column.count("_") > 1 else ""][0]
    if part in ("collects", "restricted"):
        return cells.yes_no_cell(text)
    words = cells.clean(text)
    try:
        if part == "phone":
            check_phone(words)
        elif part == "email":
            validate_email(words)
    except ValidationError as error:
        raise cells.CellError(" ".join(error.messages)) from error
    most = {"name": 80, "relation": 40, "phone": 30, "email": 254}[part]
    if len(words) > most:
        raise cells.CellError(_("“%(start)s…” is longer than %(most)d letters.") % {"start": words[:12], "most": most})
    return words


def gather(values: dict[str, Any]) -> list[str]:
    """Put a row's adults together as `values["adults"]`; answers with what is wrong."""
    found: list[AdultSaid] = []
    faults: list[str] = []
    for number in range(1, MOST + 1):
        parts = {PARTS[part][0]: values.pop(f"adult_{number}{part}", None) for part in PARTS}
        said = {field: value for field, value in parts.items() if value is not None}
        if not said:
            continue
        if "name" not in said:
            faults.append(_("Adult %(number)d has no name.") % {"number": number})
        elif said.get("collects") and said.get("restricted"):
            faults.append(_("%(name)s is restricted and so never collects.") % said)
        else:
            found.append(AdultSaid(**said))
    if found:
        values["adults"] = tuple(found)
    return faults


def changes(said: Iterable[AdultSaid], ties: Sequence[Guardianship]) -> list[AdultChange]:
    """Each adult of the file is one the child has, by name, or a new one."""
    left = list(ties)
    found = []
    for adult in said:
        tie = next((tie for tie in left if cells.clean(tie.guardian.name).casefold() == adult.name.casefold()), None)
        if tie is not None:
            left.remove(tie)
        fields = _fields(adult, tie)
        if tie is None or fields:
            found.append(AdultChange(adult, tie, fields))
    return found


def _fields(adult: AdultSaid, tie: Guardianship | None) -> dict[str, Any]:
    """What is said and is not so yet. A restriction is only ever added."""
    words = {"relation": adult.relation, "phone": adult.phone, "email": adult.email}
    said: dict[str, Any] = {name: value for name, value in words.items() if value}
    asked = {"may_collect": adult.collects, "restricted": adult.restricted or None}
    said |= {name: value for name, value in asked.items() if value is not None}
    if tie is None:
        return said
    return {name: value for name, value in said.items() if getattr(_owner(tie, name), name) != value}


def _owner(tie: Guardianship, name: str) -> Guardian | Guardianship:
    return tie.guardian if name in OWN else tie


def refused(said: Iterable[AdultSaid], ties: Sequence[Guardianship]) -> list[str]:
    """Also where nothing else would change: "no" beside a restricted adult is a wish the file cannot have."""
    kept = {cells.clean(tie.guardian.name).casefold() for tie in ties if tie.restricted}
    return [
        _("%(name)s is restricted in the club: that is changed on the adult's own page, not by a file.")
        % {"name": adult.name}
        for adult in said
        if adult.name.casefold() in kept and (adult.restricted is False or adult.collects)
    ]


def words_of(change: AdultChange) -> tuple[str, str]:
    """Before and after, as the coach reads them."""
    title = {name: str(title) for name, title in (PARTS[part] for part in PARTS)} | {"may_collect": _("may collect")}
    becomes = [_word(title, name, value) for name, value in change.fields.items()]
    tie = change.tie
    was = [_word(title, name, getattr(_owner(tie, name), name)) for name in change.fields] if tie else []
    return _line(tie.guardian.name if tie else "", was), _line(change.said.name, becomes)


def _line(name: str, parts: Sequence[str]) -> str:
    return ": ".join(part for part in (name, ", ".join(parts)) if part)


def _word(title: Mapping[str, str], name: str, value: Any) -> str:
    if name == "may_collect":
        return _("may collect") if value else _("may not collect")
    if name == "restricted":
        return _("contact restricted") if value else _("not restricted")
    return f"{title[name]} {value or '–'}" if name != "relation" else str(value or "–")


def row_cells(ties: Sequence[Guardianship], most: int) -> list[str]:
    """The adults' cells of one child in our own file, as many as the widest row has."""
    found: list[str] = []
    for tie in ties[:most]:
        adult = tie.guardian
        collects = "" if tie.restricted else "yes" if tie.may_collect else "no"
        found += [adult.name, tie.relation, adult.phone, adult.email, collects, "yes" if tie.restricted else ""]
    return found + [""] * (most * len(PARTS) - len(found))
