"""What the head coach's desk shows from several apps."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.utils import timezone

from clubapp.core.keeping import NOT_COLLECTED
from clubapp.desk.tonight import Tonight, tonight_of
from clubapp.live import access as live
from clubapp.live import queries as running
from clubapp.people.access import Person, children_of, membership_of
from clubapp.people.models import Athlete, Club, Role
from clubapp.planning import queries as planning
from clubapp.planning.models import Session
from clubapp.register import queries as register

SHOWN_AFTER = timedelta(minutes=60)  # so long the last children may still be waiting for their adults
COMING = 4


@dataclass(frozen=True)
class Nav:
    """Which links an adult gets: today for those who work, the lists for the head coach, children for a guardian.

    rings: the session whose alarms are to be heard of on this page too, None while no bell runs.
    """

    club: Club | None
    works: bool
    coaches: bool
    guards: bool
    rings: UUID | None = None


@dataclass(frozen=True)
class Home:
    """The first page of an adult who works in a club; tonight is None while no session is planned.

    not_over: earlier sessions of which children are still here, with how many, when another session is shown.
    """

    club: Club
    coaches: bool
    tonight: Tonight | None
    not_over: tuple[tuple[Session, int], ...]
    coming: tuple[Session, ...]
    on_the_list: int
    unfinished: tuple[Athlete, ...]
    reads_notes: bool = False


def nav_for(user: Person) -> Nav | None:
    """None for somebody who is not signed in."""
    if not user.is_authenticated:
        return None
    membership = membership_of(user)
    role = membership.role if membership else None
    return Nav(
        club=membership.club if membership else _club_of_children(user),
        works=role in (Role.HEAD_COACH, Role.ASSISTANT),
        coaches=role == Role.HEAD_COACH,
        guards=children_of(user).exists(),
        rings=running.running_for(user) if role in (Role.HEAD_COACH, Role.ASSISTANT) else None,
    )


def _club_of_children(user: Person) -> Club | None:
    child = children_of(user).select_related("club").order_by("pk").first()
    return child.club if child else None


def home_for(user: Person, nav: Nav, now: datetime | None = None) -> Home:
    """Today's session, or else one that is not over, or else the next one; and what waits beside it."""
    assert nav.club is not None  # who works, works in a club
    now = now or timezone.now()
    sessions, late = shown_sessions(user, nav.club, now)
    if late and not any(session.date <= nav.club.today(now) for session in sessions):
        sessions, late = [late[-1], *sessions], late[:-1]
    athletes = Athlete.objects.filter(club=nav.club, left_on=None)
    return Home(
        club=nav.club,
        coaches=nav.coaches,
        tonight=tonight_of(user, sessions[0], now) if sessions else None,
        not_over=tuple((session, len(register.waiting(session.pk))) for session in late),
        coming=tuple(sessions[1:COMING]),
        on_the_list=athletes.count() if nav.coaches else 0,
        unfinished=tuple(athletes.filter(details_wanted=True).order_by("given_name")) if nav.coaches else (),
        reads_notes=nav.coaches or live.incidents_visible_to(user).exists(),
    )


def shown_sessions(user: Person, club: Club, now: datetime) -> tuple[list[Session], list[Session]]:
    """The session to show first and those after it; and, apart, those that are past and not over.

    First comes what runs or comes, else what was today, else what comes next. One of yesterday's may end after
    midnight. None is over for a day while a child of it is still here.
    """
    today = club.today(now)
    rows = list(planning.coming(user, today - timedelta(days=1)).filter(club=club, called_off=False))
    ahead = [session for session in rows if session.ends_at + SHOWN_AFTER > now]
    late = [session for session in rows if session not in ahead and _not_over(session, now)]
    over = [session for session in rows if session.date == today and session not in (*ahead, *late)]
    if over and not any(session.date <= today for session in (*ahead, *late)):
        return over[-1:] + ahead, late
    return ahead, late


def _not_over(session: Session, now: datetime) -> bool:
    return session.ends_at + NOT_COLLECTED > now and bool(register.waiting(session.pk))
