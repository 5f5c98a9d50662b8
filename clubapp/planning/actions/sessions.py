"""Sessions: made with starter stations, copied, changed, called off, removed."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date, datetime, time, timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from clubapp.core.audit import record
from clubapp.core.tell import tell
from clubapp.people.models import Club, Guardian, Squad, User
from clubapp.planning import queries
from clubapp.planning.actions.stations import place_starter
from clubapp.planning.actions.trouble import PlanError
from clubapp.planning.letters import tell_families
from clubapp.planning.models import Block, NoticeSeen, Session, Station, Venue
from clubapp.planning.starters import BLOCKS, STARTERS

WEEK = timedelta(days=7)
SHORTEST_ROTATION_S = 600  # a starter session shorter than this keeps only the rotation
TOLD = ("date", "starts", "minutes", "place")  # what families go by
COPIED_OF_A_PART = ("position", "kind", "seconds", "activity", "name")
COPIED = (
    "name",
    "set_up",
    "x_m",
    "y_m",
    "intensity",
    "groups_min",
    "groups_max",
    "kit",
    "tools",
    "activity",
    "diagram",
    "turned",
)


@dataclass(frozen=True)
class SessionDetails:
    """When and where; fields are those of the model. adults: how many are expected."""

    date: date
    starts: time
    minutes: int = 60
    adults: int = 4
    place: str = ""
    meeting_place: str = ""
    leader: User | None = None
    venue: Venue | None = None


@transaction.atomic
def make_session(*, club: Club, squad: Squad, details: SessionDetails, by: User | None = None) -> Session:
    """A session with the usual blocks and six starter stations, ready to run."""
    session = Session.objects.create(club=club, squad=squad, **_values(details))
    rest = session.minutes * 60 - sum(seconds for _kind, seconds in BLOCKS)
    blocks = BLOCKS if rest >= SHORTEST_ROTATION_S else ((Block.Kind.ROTATION, 0),)
    for position, (kind, seconds) in enumerate(blocks, start=1):
        Block.objects.create(session=session, position=position, kind=kind, seconds=seconds)
    for number, starter in enumerate(STARTERS, start=1):
        place_starter(session, starter, number)
    _record(session, by, "made")
    return session


@transaction.atomic
def change_session(*, session: Session, details: SessionDetails, by: User) -> None:
    """Take the new details over.

    Raises:
        PlanError: the blocks no longer fit into the minutes.
    """
    needed = -(-queries.other_seconds(session) // 60)
    if details.minutes < needed:
        sentence = _("The blocks need %(needed)d minutes: make one of them shorter first.")
        raise PlanError(sentence % {"needed": needed})
    before, was = [getattr(session, name) for name in TOLD], session.starts_at
    for name, value in _values(details).items():
        setattr(session, name, value)
    if before != [getattr(session, name) for name in TOLD]:
        _revise(session, was)
    session.save()
    _record(session, by, "changed")
    tell(session.pk, "planning")


@transaction.atomic
def copy_session(*, session: Session, by: User, day: date | None = None) -> Session:
    """The same on a day; without one a week later, or as many weeks as it takes not to lie in the past."""
    weeks = max(1, -((session.date - session.club.today()).days // 7))
    copy = Session.objects.create(
        club=session.club,
        squad=session.squad,
        date=day or session.date + WEEK * weeks,
        starts=session.starts,
        minutes=session.minutes,
        adults=session.adults,
        place=session.place,
        meeting_place=session.meeting_place,
        venue=session.venue,
    )
    for block in queries.blocks(session):
        values = {name: getattr(block, name) for name in COPIED_OF_A_PART}
        Block.objects.create(session=copy, **values)
    for station in queries.stations(session):
        values = {name: getattr(station, name) for name in COPIED}
        Station.objects.create(session=copy, number=station.number, **values)
    _record(copy, by, "made")
    return copy


@transaction.atomic
def call_off_session(*, session: Session, off: bool, by: User) -> None:
    """Called off, or taking place after all; families see it either way."""
    if session.called_off != off:
        session.called_off = off
        _revise(session, session.starts_at)
        session.save(update_fields=["called_off", "sequence", "revised_at"])
    _record(session, by, "called off" if off else "put on again")
    tell(session.pk, "planning")


@transaction.atomic
def hand_over(*, session: Session, to: User | None, by: User) -> None:
    """Another adult of the club leads this session from now on; None: the head coach again."""
    session.leader = to
    session.save(update_fields=["leader"])
    to_id = str(to.pk) if to else ""
    record(club_id=session.club_id, user_id=by.pk, verb="handed over", kind="session", about=session.pk, to=to_id)
    tell(session.pk, "leader")


@transaction.atomic
def remove_session(*, session: Session, by: User) -> None:
    """Take a session away that has not begun.

    Raises:
        PlanError: it has begun: what happened stays on record.
    """
    if session.starts_at <= timezone.now():
        raise PlanError(_("This session has begun, so it stays on record. It can be called off."))
    _record(session, by, "removed")
    session.delete()


def _revise(session: Session, was: datetime) -> None:
    """What families were told of this session holds no more; `was`: when it was to begin."""
    session.sequence += 1
    session.revised_at = timezone.now()
    tell_families(session, was, session.revised_at)


@transaction.atomic
def confirm_notice(*, session: Session, guardian: Guardian, by: User) -> None:
    """A guardian has seen what the session became."""
    seen = {"sequence": session.sequence}
    NoticeSeen.objects.update_or_create(session=session, guardian=guardian, defaults=seen)
    user_id = by.pk
    record(club_id=session.club_id, user_id=user_id, verb="confirmed", kind="session", about=session.pk)


def _values(details: SessionDetails) -> dict[str, object]:
    return {field.name: getattr(details, field.name) for field in fields(details)}


def _record(session: Session, by: User | None, verb: str) -> None:
    user_id = by.pk if by else None
    record(club_id=session.club_id, user_id=user_id, verb=verb, kind="session", about=session.pk)
