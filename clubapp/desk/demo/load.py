"""Loads the demo: once all of it, on a later day that day's session."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.crypto import get_random_string

from clubapp.desk.demo import past, played, scenario, timed
from clubapp.desk.demo.calendar import saturday
from clubapp.desk.demo.clear import clear, demo_adults, demo_club
from clubapp.desk.demo.people import Passwords, make_people
from clubapp.people.models import Club, Guardianship, User
from clubapp.planning import actions as planning
from clubapp.planning.models import Session, Venue
from clubapp.planning.setting_out import set_out
from clubapp.register import actions as register

LETTERS = "bcdfghjkmnpqrstvwxyz23456789"  # nothing that looks like something else


class OtherClubError(Exception):
    """The database holds a club of somebody's own."""


@transaction.atomic
def load(*, fresh: bool = False) -> dict[str, str]:
    """Make what is missing and give every adult a new password; answers with the passwords by e-mail.

    Raises:
        OtherClubError: there is a club that is not the demo's.
    """
    if fresh:
        clear()
    club = demo_club()
    if Club.objects.count() > (club is not None):
        raise OtherClubError
    passwords = {adult.email: new_password() for adult in demo_adults()}
    if club is None:
        club = make_club(passwords)
        last = make_past(club)
        timed.write_results(club, head_coach())
        played.play(last, head_coach())
        past.see_off(club, head_coach())
        planning.write_message(squad=last.squad, session=None, text=scenario.MESSAGE, by=head_coach())
    else:
        renew(passwords)
    make_today(club)
    return passwords


@transaction.atomic
def load_evening() -> None:
    """Today's session without the Saturdays before it, for what measures one evening; nobody signs in by a password."""
    make_today(make_club(dict.fromkeys(adult.email for adult in demo_adults())))


def make_club(passwords: Passwords) -> Club:
    """Its people and its ground."""
    club = make_people(passwords)
    make_ground(club)
    return club


def new_password() -> str:
    return "-".join(get_random_string(4, LETTERS) for _ in range(3))


def renew(passwords: dict[str, str]) -> None:
    for user in User.objects.filter(email__in=passwords):
        user.set_password(passwords[user.email])
        user.save(update_fields=["password"])


def make_ground(club: Club) -> None:
    """The meadow and a hall for wet days to scale, with what an ambulance has to know, and the bag."""
    coach = head_coach()
    for venue in (scenario.VENUE, scenario.HALL):
        planning.keep_venue(club=club, venue=None, details=planning.VenueDetails(**venue), by=coach)
    planning.keep_kit(club=club, owned=scenario.KIT, by=coach)


def make_past(club: Club) -> Session:
    """The six Saturdays before today; answers with the last one."""
    coach = head_coach()
    for week in range(scenario.WEEKS, 0, -1):
        session = make_session(club, saturday(club.today(), week), scenario.STARTS, coach)
        past.take_register(session, week, coach)
        if week == scenario.INCIDENT.week:
            past.write_incident(session)
    past.make_last_groups(session, coach)
    return session


def make_today(club: Club) -> None:
    """A session about to start, unless one of today's is not over yet."""
    now = timezone.now().astimezone(club.zone)
    if not any(session.ends_at > now for session in Session.objects.filter(club=club, date=now.date())):
        announce_late(make_session(club, now.date(), soon(now), head_coach()))


def announce_late(session: Session) -> None:
    """As a guardian does on the way there."""
    child, minutes, word = scenario.LATE
    tie = Guardianship.objects.select_related("athlete").get(
        athlete__club=session.club, athlete__roster_id=child, guardian__user__isnull=False
    )
    tap = register.Tap(tie.guardian.user)
    register.tell_late(session=session, athlete=tie.athlete, minutes=minutes, word=word, tap=tap)


def soon(now: datetime) -> time:
    """The next full five minutes, without crossing midnight."""
    later = now + timedelta(minutes=5 - now.minute % 5)
    return (later if later.date() == now.date() else now).time().replace(second=0, microsecond=0)


def head_coach() -> User:
    return User.objects.get(email=scenario.HEAD_COACH.email)


def make_session(club: Club, on: date, starts: time, by: User) -> Session:
    details = planning.SessionDetails(
        date=on,
        starts=starts,
        minutes=scenario.MINUTES,
        adults=scenario.ADULTS,
        place=scenario.PLACE,
        meeting_place=scenario.MEETING_PLACE,
        venue=Venue.objects.filter(club=club, name=scenario.PLACE).first(),
    )
    session = planning.make_session(club=club, squad=club.squads.get(), details=details, by=by)
    set_out(session)
    return session
