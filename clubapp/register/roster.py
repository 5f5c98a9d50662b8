"""The roster's column `first_timer`. Attendance counts it from here on; the file says what was before."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any
from uuid import UUID

from django.utils import timezone
from django.utils.translation import gettext as _

from clubapp.core.registry import ImportColumn
from clubapp.people import cells
from clubapp.people.actions.visits import set_sessions_before
from clubapp.people.models import VISITS_OF_A_FIRST_TIMER, Athlete, Club
from clubapp.register import queries


def check(text: str) -> bool:
    """Whether the child is still a first-timer."""
    said = cells.yes_no_cell(text)
    if said is None:
        raise cells.CellError(_("The cell is empty."))
    return said


def write(club_id: UUID, values: Mapping[UUID, Any], on: date) -> dict[str, list[int]]:
    """Set the sessions before this record so that the child is what the file says; marks are never touched.

    A child marked here three times stays no first-timer whatever the file says. Answers with counts before and after.
    """
    new = queries.first_timers(values, before=on + timedelta(days=1))
    counts = {
        child: 0 if first else VISITS_OF_A_FIRST_TIMER
        for child, first in values.items()
        if bool(first) != (child in new)
    }
    before = set_sessions_before(club_id=club_id, counts=counts)
    return {str(child): [was, counts[child]] for child, was in before.items()}


def undo(written: Mapping[str, list[int]]) -> None:
    """Put the counts back that nobody has changed since."""
    wanted = {UUID(child): pair for child, pair in written.items()}
    for club in Club.objects.filter(athletes__in=wanted).distinct():
        rows = Athlete.objects.filter(club=club, pk__in=wanted)
        same = {row.pk: wanted[row.pk][0] for row in rows if row.sessions_before == wanted[row.pk][1]}
        set_sessions_before(club_id=club.pk, counts=same)


def current(athlete_ids: list[UUID]) -> dict[UUID, str]:
    club = Club.objects.filter(athletes__in=athlete_ids[:1]).first()
    today = club.today() if club else timezone.now().date()
    new = queries.first_timers(athlete_ids, before=today + timedelta(days=1))
    return {child: "yes" if child in new else "no" for child in athlete_ids}


COLUMN = ImportColumn(
    name="first_timer",
    aliases=("first_timers", "new", "newcomer", "beginner", "first_time"),
    check=check,
    write=write,
    undo=undo,
    current=current,
)
