"""A session again every week over a term, but for the holidays."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from clubapp.core.audit import record
from clubapp.people.models import Club, User
from clubapp.planning import queries
from clubapp.planning.actions.sessions import WEEK, copy_session
from clubapp.planning.actions.trouble import PlanError
from clubapp.planning.models import Holiday, Session

MOST_WEEKS = 53


@dataclass(frozen=True)
class Series:
    """The days of a series; those a holiday takes, with its name; those on which the squad meets then anyway."""

    days: list[date] = field(default_factory=list)
    off: list[tuple[date, str]] = field(default_factory=list)
    there: list[date] = field(default_factory=list)


def series_of(session: Session, until: date) -> Series:
    """Every week after this session, until a day that may be one of them."""
    weeks = min(MOST_WEEKS, max(0, (until - session.date) // WEEK))
    rows = Session.objects.filter(squad=session.squad_id, starts=session.starts, called_off=False)
    known, found = set(rows.values_list("date", flat=True)), Series()
    holidays = list(queries.holidays(session.club))
    for day in (session.date + WEEK * number for number in range(1, weeks + 1)):
        holiday = next((one.name for one in holidays if one.first <= day <= one.last), None)
        if holiday is not None:
            found.off.append((day, holiday))
        else:
            (found.there if day in known else found.days).append(day)
    return found


@transaction.atomic
def make_series(*, session: Session, until: date, by: User) -> Series:
    """The same parts and stations on each of the days; none is made twice.

    Raises:
        PlanError: there is no such day.
    """
    series = series_of(session, until)
    if not series.days:
        raise PlanError(_("There is no week until then that is free: choose a later day."))
    for day in series.days:
        copy_session(session=session, by=by, day=day)
    return series


@transaction.atomic
def keep_holiday(*, club: Club, name: str, first: date, last: date, by: User) -> Holiday:
    """Sessions that stand in it already stay: whoever called them knows why."""
    row = Holiday.objects.create(club=club, name=name, first=first, last=last)
    record(club_id=club.pk, user_id=by.pk, verb="made", kind="holiday", about=row.pk)
    return row


@transaction.atomic
def remove_holiday(*, holiday: Holiday, by: User) -> None:
    record(club_id=holiday.club_id, user_id=by.pk, verb="removed", kind="holiday", about=holiday.pk)
    holiday.delete()
