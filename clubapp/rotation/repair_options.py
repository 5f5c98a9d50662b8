"""What a coach can say has happened, kind by kind, each a tap away; and what was said already."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.planning.models import Station
from clubapp.rotation import sentences
from clubapp.rotation.queries import PlanView
from clubapp.rotation.repair_forms import ChangesForm

MINUTES = (2, 3, 5, 10, 15)


@dataclass(frozen=True)
class Option:
    """One tap. query: the address behind the question mark once it was tapped. said: what then stands on the page."""

    text: str
    query: str
    chosen: bool
    said: str


@dataclass(frozen=True)
class Kind:
    """open: its list is asked for by name, from the bell for one."""

    code: str
    title: str
    options: tuple[Option, ...]
    open: bool = False


@dataclass(frozen=True)
class Field:
    """Where it happens. names: of children. keepers: by station, the adults who look after it, as far as is known.

    here: who is marked here. behind_s: how much later than planned the bell ends, where one runs.
    """

    form: ChangesForm
    plan: PlanView
    stations: tuple[Station, ...]
    names: Mapping[UUID, str]
    here: frozenset[UUID]
    may_come: tuple[UUID, ...]
    keepers: Mapping[UUID, list[str]] = field(default_factory=dict)
    behind_s: int = 0


def kinds(field: Field, opened: str = "") -> list[Kind]:
    found = [
        ("late", _("Somebody comes late"), _late(field)),
        ("left", _("Somebody leaves"), _left(field)),
        ("easy", _("Somebody goes easy"), _easy(field)),
        ("adult", _("An adult is gone"), _adults(field)),
        ("closed", _("Close a station"), _closed(field)),
        ("merged", _("Share out a group"), [*_merged(field), *_into(field)]),
        ("lost", _("Time was lost"), _lost(field)),
    ]
    return [Kind(code, title, tuple(options), code == opened) for code, title, options in found]


def chosen(kinds: Iterable[Kind]) -> list[Option]:
    """What was said, each once."""
    options = [option for kind in kinds for option in kind.options if option.chosen]
    return list({option.said: option for option in options}.values())


def _option(field: Field, name: str, value: object, texts: tuple[str, str]) -> Option:
    text, said = texts
    return Option(text, field.form.with_one(name, str(value)), field.form.has(name, str(value)), said)


def _by_name(field: Field, children: Iterable[UUID]) -> list[UUID]:
    return sorted(children, key=lambda child: field.names.get(child, "").casefold())


def _late(field: Field) -> Iterator[Option]:
    for child in _by_name(field, field.may_come):
        name = field.names[child]
        yield _option(field, "late", child, (name, _("%(name)s comes late.") % {"name": name}))


def _with_bib(field: Field, child: UUID) -> str:
    group = field.plan.group_of(child)
    return f"{field.names[child]} ({group.bib})" if group else field.names[child]


def _left(field: Field) -> Iterator[Option]:
    for child in _by_name(field, field.plan.placed & field.here):
        said = _("%(name)s leaves.") % {"name": field.names[child]}
        yield _option(field, "left", child, (_with_bib(field, child), said))


def _easy(field: Field) -> Iterator[Option]:
    for child in _by_name(field, field.plan.placed & field.here):
        said = _("%(name)s goes easy and leaves out the hard stations to come.") % {"name": field.names[child]}
        yield _option(field, "easy", child, (_with_bib(field, child), said))


def _place(station: Station) -> dict[str, object]:
    return {"number": station.number, "name": station.name}


def _adults(field: Field) -> Iterator[Option]:
    """By station, with the adult's name where it is known; or by the group the adult went round with."""
    for station in field.stations:
        who = sentences.listed(field.keepers.get(station.pk, []))
        at = _place(station) | {"who": who}
        text = _("%(who)s, station %(number)d: %(name)s") if who else _("At station %(number)d: %(name)s")
        said = _("Nobody is left at station %(number)d, %(name)s: it closes.") % at
        yield _option(field, "adult", station.pk, (text % at, said))
    for index, bib in _going(field):
        yield _option(field, "merged", index, (_("Went round with %(bib)s") % {"bib": bib}, _shared(bib)))


def _closed(field: Field) -> Iterator[Option]:
    for station in field.stations:
        text, said = _("Station %(number)d: %(name)s"), _("Station %(number)d, %(name)s, is closed.")
        yield _option(field, "closed", station.pk, (text % _place(station), said % _place(station)))


def _going(field: Field) -> list[tuple[int, str]]:
    return [(group.index, group.bib) for group in field.plan.groups if group.athletes]


def _shared(bib: str) -> str:
    return _("%(bib)s is shared out among the others.") % {"bib": bib}


def _merged(field: Field) -> Iterator[Option]:
    for index, bib in _going(field):
        yield _option(field, "merged", index, (bib, _shared(bib)))


def _into(field: Field) -> Iterator[Option]:
    """Once a group is given up: all its children into one other."""
    given_up = field.form.cleaned_data.get("merged")
    for index, bib in _going(field) if given_up is not None else ():
        if index != given_up:
            text = _("All of them into %(bib)s") % {"bib": bib}
            yield _option(field, "into", index, (text, _("All of them go into %(bib)s.") % {"bib": bib}))


def _lost(field: Field) -> Iterator[Option]:
    behind = -(-field.behind_s // 60)
    if behind > 0:
        yield _lost_option(field, behind, _("As far as the bell is behind: %(n)d min") % {"n": behind})
    for minutes in MINUTES:
        if minutes != behind:
            yield _lost_option(field, minutes, _("%(n)d min") % {"n": minutes})


def _lost_option(field: Field, minutes: int, text: str) -> Option:
    return _option(field, "lost", minutes, (text, _("%(n)d minutes are lost.") % {"n": minutes}))
