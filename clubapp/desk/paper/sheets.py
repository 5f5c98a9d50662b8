"""What the sheets of a session show. Children are named on the session sheet and the register, never on a card."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.utils import timezone
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from clubapp.people.access import Person
from clubapp.people.consents import no_photos
from clubapp.planning import catalogue, field_page
from clubapp.planning import queries as planning
from clubapp.planning.library.card import Card
from clubapp.planning.models import Block, Session, Station
from clubapp.register import page as register
from clubapp.register.models import Mark
from clubapp.rotation import queries as rotation
from clubapp.rotation import showing
from clubapp.rotation.evening import evening_of, names_for
from clubapp.rotation.queries import PlanView

SPARE_CHILDREN, SPARE_ADULTS = 3, 5  # empty rows of the register, for who is not on the list


@dataclass(frozen=True)
class Part:
    """A part of the session by the clock. minutes: "7" or "7:30"; name: of the activity that is done in it."""

    clock: str
    label: str
    minutes: str
    name: str


@dataclass(frozen=True)
class SessionSheet:
    """cards and turns are empty before there are groups; outside: who is here and in no group."""

    session: Session
    parts: tuple[Part, ...]
    ends: str
    stations: tuple[Station, ...]
    cards: tuple[showing.Card, ...]
    turns: tuple[showing.Turn, ...]
    outside: tuple[str, ...]
    unseen: tuple[str, ...]
    all_unseen: bool
    ground: field_page.Page


@dataclass(frozen=True)
class Visit:
    """Who comes to a station in a round, and to which station each group goes on; None: to none."""

    clock: str
    groups: tuple[tuple[str, int | None], ...]


@dataclass(frozen=True)
class Pocket:
    """A station's card. card: what it was made from, as the club has it now."""

    station: Station
    card: Card | None
    picture: SafeString | str
    kit: str
    visits: tuple[Visit, ...]


@dataclass(frozen=True)
class Line:
    """A child of the register. said: what a guardian told us beforehand; what was marked is not printed."""

    name: str
    said: str


def as_of(session: Session) -> datetime:
    """On the club's wall: whoever holds the paper has to see how old it is."""
    return timezone.now().astimezone(session.club.zone).replace(tzinfo=None)


# --- the session ------------------------------------------------------------------------------------------------------


def session_sheet(session: Session) -> SessionSheet:
    evening, plan = evening_of(session), rotation.current_plan(session.pk)
    names = names_for(session, set(evening.here) | set(plan.placed if plan else ()))
    unseen = no_photos(evening.here)
    return SessionSheet(
        session=session,
        parts=tuple(_planned(plan, session) if plan else _parts(session)),
        ends=showing.clock(session, plan.seconds if plan else session.minutes * 60),
        stations=evening.stations,
        cards=tuple(showing.cards(plan, evening, names)) if plan else (),
        turns=tuple(showing.grid(plan, session, evening.stations)) if plan else (),
        outside=_named(names, evening.here - plan.placed) if plan else (),
        unseen=_named(names, unseen),
        all_unseen=len(unseen) == len(evening.here),
        ground=field_page.page_of(session),
    )


def _named(names: dict[UUID, str], ids: set[UUID] | frozenset[UUID]) -> tuple[str, ...]:
    return tuple(sorted((names[child] for child in ids), key=str.casefold))


def _parts(session: Session) -> Iterator[Part]:
    """Before there are groups, as the session was planned."""
    seconds = 0
    for block in planning.blocks(session):
        own = planning.rotation_minutes(session) * 60 if block.kind == Block.Kind.ROTATION else block.seconds
        yield Part(showing.clock(session, seconds), str(block.get_kind_display()), _minutes(own), block.name)
        seconds += own


def _planned(plan: PlanView, session: Session) -> Iterator[Part]:
    """By the plan's own times."""
    labels, names = dict(Block.Kind.choices), _names_by_kind(session)
    for kind, starts_s, seconds in showing.runs(plan):
        yield Part(showing.clock(session, starts_s), str(labels[kind]), _minutes(seconds), next(names[kind], ""))


def _names_by_kind(session: Session) -> dict[str, Iterator[str]]:
    """Names of activities in the order of the parts of that kind."""
    found: dict[str, list[str]] = defaultdict(list)
    for block in planning.blocks(session):
        found[block.kind].append(block.name)
    return defaultdict(lambda: iter(()), {kind: iter(names) for kind, names in found.items()})


def _minutes(seconds: int) -> str:
    return f"{seconds // 60}:{seconds % 60:02}" if seconds % 60 else f"{seconds // 60}"


# --- the stations -----------------------------------------------------------------------------------------------------


def pockets(session: Session) -> tuple[Pocket, ...]:
    stations, plan = tuple(planning.stations(session)), rotation.current_plan(session.pk)
    cards = {one.code: one.card for one in catalogue.of_club(session.club)}
    return tuple(
        Pocket(
            station=station,
            card=cards.get(station.activity),
            picture=catalogue.picture_of(station),
            kit=", ".join(f"{number} {name}" for name, number in station.kit.items()),
            visits=tuple(_visits(plan, session, station, stations)) if plan else (),
        )
        for station in stations
    )


def _visits(plan: PlanView, session: Session, station: Station, stations: Sequence[Station]) -> Iterator[Visit]:
    numbers = {one.pk: one.number for one in stations}
    for entry in plan.timetable:
        if entry.kind != "work" or entry.round is None:
            continue
        following = plan.rounds[entry.round] if entry.round < len(plan.rounds) else ()
        groups = tuple(
            (group.bib, numbers.get(at) if following and (at := following[group.index]) else None)
            for group in plan.groups_at(station.pk, entry.round)
        )
        yield Visit(showing.clock(session, entry.starts_s), groups)


# --- the register -----------------------------------------------------------------------------------------------------


def lines(user: Person, session: Session) -> tuple[Line, ...]:
    """Nobody is ticked beforehand: only an adult who sees the child says that it is here."""
    return tuple(Line(row.name, _said(row)) for row in register.page_of(user, session).rows)


def _said(row: register.Row) -> str:
    return _("told us: cannot come") if row.kind == Mark.Kind.TOLD else row.coming
