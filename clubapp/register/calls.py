"""Whom to ring for a child, and what to do about its health: on the phone of who runs the session, and on paper."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from clubapp.people.actions import read_medical_notes
from clubapp.people.models import Health, User
from clubapp.planning.models import Session
from clubapp.register.actions import read_emergency_numbers
from clubapp.register.page import Row


@dataclass(frozen=True)
class Call:
    """One child: whom to ring, in order, and what to do. asked: whether anybody was asked about its health."""

    name: str
    numbers: tuple[tuple[str, str], ...]
    what_to_do: str
    asked: bool


def calls_for(session: Session, rows: Iterable[Row], *, every: bool, by: User) -> tuple[Call, ...]:
    """Reads, and so logs, each note and number. every: all numbers of a child, not the first to ring alone."""
    rows = tuple(rows)
    ids = [row.child.pk for row in rows]
    notes = read_medical_notes(athlete_ids=ids, club_id=session.club_id, by=by)
    numbers = read_emergency_numbers(session=session, athlete_ids=ids, every=every, by=by)
    return tuple(
        Call(
            name=row.name,
            numbers=tuple(numbers.get(row.child.pk, ())),
            what_to_do=notes[row.child.pk].to_do if row.child.pk in notes else "",
            asked=row.child.health != Health.NOT_ASKED or row.child.pk in notes,
        )
        for row in rows
    )
