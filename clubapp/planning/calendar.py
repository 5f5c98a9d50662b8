"""The term as a calendar: weeks with their sessions and what they are for, holidays, and weeks that were left out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from django.utils.translation import gettext as _

from clubapp.people.models import Club, Squad
from clubapp.planning import catalogue, queries
from clubapp.planning.library.card import Aim
from clubapp.planning.models import Holiday, Session

WEEK, SHOWN = timedelta(days=7), 15


@dataclass(frozen=True)
class Day:
    """meets: a session that is not called off stands on it."""

    on: date
    meets: bool
    off: bool
    today: bool


@dataclass(frozen=True)
class Meeting:
    """One session. aims: what its stations and parts are for, in the library's order; stations: how many."""

    session: Session
    aims: tuple[Aim, ...]
    stations: int

    @property
    def words(self) -> str:
        return _("every aim") if len(self.aims) == len(Aim) else ", ".join(map(catalogue.aim_word, self.aims))


@dataclass(frozen=True)
class Gap:
    """A squad that meets before and after has no session in this week. on: the day it would be."""

    squad: Squad
    on: date
    coming: bool


@dataclass(frozen=True)
class Week:
    days: tuple[Day, ...]
    meetings: tuple[Meeting, ...]
    holidays: tuple[Holiday, ...]
    gaps: tuple[Gap, ...]


@dataclass(frozen=True)
class Term:
    """aims: in how many of the sessions shown each aim is. last: the last that is planned and not called off."""

    weeks: tuple[Week, ...]
    sessions: int
    aims: tuple[tuple[str, int], ...]
    last: Session | None
    earlier: date
    later: date


def term_of(club: Club, first: date) -> Term:
    """From the week of that day on. Called-off sessions are shown, and count for nothing."""
    monday = first - timedelta(days=first.weekday())
    end = monday + SHOWN * WEEK
    # Eight weeks more before and after, so that a gap is known at both ends.
    rows = list(queries.between(club, monday - 8 * WEEK, end + 8 * WEEK))
    shown = [row for row in rows if monday <= row.date < end]
    meetings, off = list(_meetings(club, shown)), list(queries.holidays(club))
    gaps = [gap for squad in {row.squad for row in rows} for gap in _gaps(club, squad, rows, off)]
    weeks = tuple(_week(club, monday + n * WEEK, meetings, (off, gaps)) for n in range(SHOWN))
    count = Counter(aim for one in meetings if not one.session.called_off for aim in one.aims)
    held = sum(not row.called_off for row in shown)
    aims = tuple((catalogue.aim_word(aim), count[aim]) for aim in Aim)
    return Term(weeks, held, aims, queries.last_of(club, held=True), monday - SHOWN * WEEK, end)


def _meetings(club: Club, rows: Iterable[Session]) -> Iterator[Meeting]:
    rows = list(rows)
    cards = {one.code: one.card for one in catalogue.of_club(club)}
    codes, numbers = queries.activities_of(row.pk for row in rows)
    for row in rows:
        aims = {aim for code in codes.get(row.pk, ()) if code in cards for aim in cards[code].aims[:1]}
        yield Meeting(row, tuple(aim for aim in Aim if aim in aims), numbers.get(row.pk, 0))


def _gaps(club: Club, squad: Squad, rows: Iterable[Session], off: list[Holiday]) -> Iterator[Gap]:
    """On the weekday of the session before; a week with a session that was called off is no gap, it says so itself."""
    days = sorted({row.date for row in rows if row.squad_id == squad.pk})
    for one, after in pairwise(days):
        day = one + WEEK
        while _monday(day) < _monday(after):
            if not any(holiday.first <= day <= holiday.last for holiday in off):
                yield Gap(squad, day, day >= club.today())
            day += WEEK


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def _week(club: Club, monday: date, meetings: list[Meeting], around: tuple[list[Holiday], list[Gap]]) -> Week:
    off, gaps = around
    days = [monday + timedelta(days=n) for n in range(7)]
    meets = {one.session.date for one in meetings if not one.session.called_off}
    return Week(
        tuple(Day(on, on in meets, any(h.first <= on <= h.last for h in off), on == club.today()) for on in days),
        tuple(one for one in meetings if days[0] <= one.session.date <= days[6]),
        tuple(one for one in off if one.first <= days[6] and one.last >= days[0]),
        tuple(sorted((gap for gap in gaps if gap.on in days), key=lambda gap: (gap.on, gap.squad.name))),
    )
