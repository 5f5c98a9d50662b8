"""Reads over sessions, blocks and stations."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.models import Exists, OuterRef, QuerySet, Sum

from clubapp.people.access import Person
from clubapp.people.models import Club, Guardianship, Role, Squad, User
from clubapp.planning.access import visible_to
from clubapp.planning.models import (
    Block,
    ClubMessage,
    Holiday,
    Kit,
    NoticeSeen,
    Review,
    Session,
    Station,
    Template,
    Venue,
)

ROTATION = Block.Kind.ROTATION


def coming(user: Person, today: date) -> QuerySet[Session]:
    """Today's sessions and later ones, the next first."""
    return visible_to(user).filter(date__gte=today).order_by("date", "starts", "pk")


def coached_coming(club: Club) -> QuerySet[Session]:
    """A club's sessions of today and later, the next first."""
    rows = Session.objects.filter(club=club, date__gte=club.today(), called_off=False)
    return rows.select_related("squad").order_by("date", "starts", "pk")


def past(user: Person, today: date) -> QuerySet[Session]:
    """Earlier sessions, the last first."""
    return visible_to(user).filter(date__lt=today).order_by("-date", "-starts", "pk")


def last_of(club: Club, *, held: bool = False) -> Session | None:
    """The club's latest session, to take start, minutes and place over from; held: not one that was called off."""
    rows = Session.objects.filter(club=club, called_off=False) if held else Session.objects.filter(club=club)
    return rows.order_by("-date", "-starts", "pk").first()


def played_before(session: Session) -> QuerySet[Session]:
    """The squad's earlier sessions, the last first."""
    rows = Session.objects.filter(squad=session.squad_id, called_off=False, date__lt=session.date)
    return rows.order_by("-date", "-starts", "pk")


def club_played(session: Session, within: timedelta) -> list[Session]:
    """The club's other sessions of that time before this one, of its own day too."""
    rows = Session.objects.filter(club=session.club_id, called_off=False, date__lte=session.date)
    return list(rows.filter(date__gt=session.date - within).exclude(pk=session.pk).order_by("date", "starts", "pk"))


def played_codes(session: Session, within: timedelta) -> set[str]:
    """The activities of the squad's sessions of that time before this one."""
    rows = played_before(session).filter(date__gte=session.date - within).values("pk")
    stations = Station.objects.filter(session__in=rows).values_list("activity", flat=True)
    return {*stations, *Block.objects.filter(session__in=rows).values_list("activity", flat=True)} - {""}


def holidays(club: Club) -> QuerySet[Holiday]:
    """The next first; those of the past stay in the list of a term that is shown."""
    return Holiday.objects.filter(club=club)


def templates(club: Club) -> QuerySet[Template]:
    return Template.objects.filter(club=club)


def between(club: Club, first: date, last: date) -> QuerySet[Session]:
    """The club's sessions of these days, the oldest first."""
    rows = Session.objects.filter(club=club, date__range=(first, last)).select_related("squad", "club")
    return rows.order_by("date", "starts", "pk")


def activities_of(sessions: Iterable[UUID]) -> tuple[dict[UUID, list[str]], Counter[UUID]]:
    """The codes of each session's stations and parts, and how many stations it has."""
    ids, found = list(sessions), defaultdict(list)
    stations = list(Station.objects.filter(session__in=ids).values_list("session", "activity"))
    for pk, code in [*stations, *Block.objects.filter(session__in=ids).values_list("session", "activity")]:
        found[pk].append(code)
    return dict(found), Counter(pk for pk, _code in stations)


def review_of(session: Session) -> Review | None:
    return Review.objects.filter(session=session).first()


def lines_before(session: Session) -> Review | None:
    """What was written after the squad's last session before this one, and not after an older one."""
    rows = Session.objects.filter(squad=session.squad_id, called_off=False, date__lt=session.date)
    last = rows.order_by("-date", "-starts", "pk").first()
    return Review.objects.select_related("session").filter(session=last).first() if last else None


def sessions_of_squads(squad_ids: Iterable[UUID]) -> QuerySet[Session]:
    """Every session of these squads, the oldest first."""
    rows = Session.objects.filter(squad__in=list(squad_ids))
    return rows.select_related("club", "squad").order_by("date", "starts", "pk")


def leaders(session: Session) -> QuerySet[User]:
    """Who may be handed a session: the club's assistants."""
    return User.objects.filter(memberships__club=session.club_id, memberships__role=Role.ASSISTANT).order_by("name")


def blocks(session: Session) -> QuerySet[Block]:
    return Block.objects.filter(session=session).order_by("position")


def stations(session: Session) -> QuerySet[Station]:
    return Station.objects.filter(session=session).order_by("number")


def venues(club: Club) -> QuerySet[Venue]:
    return Venue.objects.filter(club=club).order_by("name", "pk")


def elsewhere(session: Session) -> list[Venue]:
    """The club's other venues; from outdoors those with a roof first."""
    outdoors = not (session.venue and session.venue.indoors)
    rows = venues(session.club).exclude(pk=session.venue_id) if session.venue_id else venues(session.club)
    return sorted(rows, key=lambda one: one.indoors != outdoors)


def kit_of(club: Club) -> dict[str, int]:
    """What the club owns, by name; nothing for a club that wrote nothing down."""
    return dict(Kit.objects.filter(club=club).values_list("name", "number"))


def other_seconds(session: Session) -> int:
    """Seconds of all blocks but the rotation."""
    return blocks(session).exclude(kind=ROTATION).aggregate(sum=Sum("seconds"))["sum"] or 0


def rotation_minutes(session: Session) -> int:
    """Whole minutes the other blocks leave for the rotation; 0 when they leave none."""
    return max(0, (session.minutes * 60 - other_seconds(session)) // 60)


def end_today(session_id: UUID) -> datetime | None:
    """The planned end of a session of today, by its club's calendar; None for any other."""
    session = Session.objects.select_related("club").filter(pk=session_id).first()
    return session.ends_at if session is not None and session.date == session.club.today() else None


def seen_notices(session: Session) -> set[UUID]:
    """Guardians who have seen what the session has become by now."""
    rows = NoticeSeen.objects.filter(session=session, sequence=session.sequence)
    return set(rows.values_list("guardian", flat=True))


def news_for(user: User) -> set[UUID]:
    """Sessions that were changed since this guardian last said "I know"."""
    seen = NoticeSeen.objects.filter(guardian__user=user, session=OuterRef("pk"), sequence=OuterRef("sequence"))
    rows = Session.objects.filter(squad__in=_squads_of(user), sequence__gt=0)
    return set(rows.exclude(Exists(seen)).values_list("pk", flat=True))


def _squads_of(user: User) -> QuerySet[Squad]:
    """In which this adult's children are."""
    ties = Guardianship.objects.filter(guardian__user=user, athlete__left_on__isnull=True)
    return Squad.objects.filter(athletes__adults__in=ties)


def messages_for(user: User, now: datetime, days: int) -> QuerySet[ClubMessage]:
    """What the club wrote to this adult's families in so many days, the newest first."""
    rows = ClubMessage.objects.filter(squad__in=_squads_of(user), at__gte=now - timedelta(days=days))
    return rows.select_related("squad__club", "session", "by").order_by("-at", "-pk")


def written_messages(club: Club, most: int) -> list[ClubMessage]:
    rows = ClubMessage.objects.filter(squad__club=club).select_related("squad", "session", "by")
    return list(rows.order_by("-at", "-pk")[:most])
