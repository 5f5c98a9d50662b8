"""The plan as a page shows it: cards of children by bib, a grid of stations by round with clock times."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, timedelta
from itertools import groupby
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.planning.models import Block, Session, Station
from clubapp.rotation.evening import Evening
from clubapp.rotation.queries import EntryView, GroupView, PlanView


@dataclass(frozen=True)
class Child:
    """One name on the page. gone: no longer marked here, and not counted. easy: what the child leaves out today."""

    id: UUID
    name: str
    gone: bool = False
    easy: tuple[str, ...] = ()
    locked: bool = False

    @property
    def watching(self) -> bool:
        return "watching" in self.easy


@dataclass(frozen=True)
class Card:
    """A group as it stands on the page; `here` counts only the children marked here."""

    index: int
    bib: str
    locked: bool
    children: tuple[Child, ...]

    @property
    def here(self) -> int:
        return sum(not child.gone for child in self.children)


@dataclass(frozen=True)
class Turn:
    """A line of the grid: one round, when its work starts by the clock, and who is at each station or rests."""

    number: int
    clock: str
    cells: tuple[tuple[str, ...], ...]
    resting: tuple[str, ...]


@dataclass(frozen=True)
class Part:
    """A part of the evening by the clock; the rotation is one part."""

    label: str
    clock: str


def cards(plan: PlanView, evening: Evening, names: Mapping[UUID, str]) -> list[Card]:
    def child(child_id: UUID) -> Child:
        locked = f"athlete:{child_id}" in plan.locked
        easy = tuple(evening.easy.get(child_id, ()))
        return Child(child_id, names.get(child_id, ""), child_id not in evening.here, easy, locked)

    return [
        Card(
            group.index,
            group.bib,
            f"group:{group.index}" in plan.locked,
            tuple(sorted(map(child, group.athletes), key=lambda one: (one.gone, one.name.casefold()))),
        )
        for group in plan.groups
    ]


def grid(plan: PlanView, session: Session, stations: Sequence[Station], late_s: int = 0) -> list[Turn]:
    """Rounds down, stations across. late_s: how far the evening is behind the plan's own times."""
    return [
        Turn(
            entry.round,
            clock(session, entry.starts_s + late_s),
            tuple(_bibs(plan.groups_at(station.pk, entry.round)) for station in stations),
            _bibs(plan.resting(entry.round)),
        )
        for entry in plan.timetable
        if entry.kind == "work" and entry.round is not None
    ]


def clock(session: Session, seconds: int) -> str:
    """So many seconds after the start, on the wall of the club, also over the night in which the clocks change."""
    moment = session.starts_at.astimezone(UTC) + timedelta(seconds=seconds)
    return f"{moment.astimezone(session.club.zone):%H:%M}"


def _bibs(groups: Sequence[GroupView]) -> tuple[str, ...]:
    return tuple(group.bib for group in groups)


def parts(plan: PlanView, session: Session) -> list[Part]:
    """The evening in a line, and at last when it all ends."""
    labels = dict(Block.Kind.choices)
    found = [Part(str(labels[kind]), clock(session, starts_s)) for kind, starts_s, _seconds in runs(plan)]
    return [*found, Part(_("end"), clock(session, plan.seconds))]


def runs(plan: PlanView) -> Iterator[tuple[str, int, int]]:
    """Of each part of the evening its Block.Kind, when it starts and how long it takes, in seconds: rounds and
    change-overs run together as the rotation.
    """
    for kind, entries in groupby(plan.timetable, _kind):
        first, *others = entries
        yield kind, first.starts_s, first.seconds + sum(entry.seconds for entry in others)


def _kind(entry: EntryView) -> str:
    in_rotation = entry.round is not None or entry.kind in ("work", "change")
    return str(Block.Kind.ROTATION) if in_rotation else entry.kind


def stale(plan: PlanView, evening: Evening) -> bool:
    """Whether stations were added or taken away since the groups were made."""
    used = {station for row in plan.rounds for station in row if station}
    return not used <= {station.pk for station in evening.stations}
