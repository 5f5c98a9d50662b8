"""The only door to sessions. Whoever may not see one gets 404."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import UUID

from django.db.models import Q, QuerySet
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.utils import timezone

from clubapp.people.access import Person, is_head_coach, membership_of
from clubapp.people.models import Club, Membership, Role, User
from clubapp.planning.models import Session, Station, Venue


def visible_to(user: Person) -> QuerySet[Session]:
    """The head coach's whole club, an assistant's own squads, and any session handed over to this adult."""
    if not user.is_authenticated:
        return Session.objects.none()
    coached = Membership.objects.filter(user=user, role=Role.HEAD_COACH).values("club")
    assisted = Membership.objects.filter(user=user, role=Role.ASSISTANT).values("squads")
    rows = Session.objects.filter(Q(club__in=coached) | Q(squad__in=assisted) | led_by(user))
    return rows.select_related("club", "squad")


def led_by(user: User) -> Q:
    """The leader is an adult of the club to whom the session was handed over; until the day after it."""
    return Q(leader=user, club__in=Membership.objects.filter(user=user).values("club"), date__gte=_first_led())


def _first_led() -> date:
    """The earliest day whose leader still leads: somebody may be collected after midnight, wherever the club is."""
    return timezone.now().date() - timedelta(days=1)


def session_for(user: Person, session_id: UUID) -> Session:
    """A session this adult works in, or 404."""
    return get_object_or_404(visible_to(user), pk=session_id)


def led_session_for(user: Person, session_id: UUID) -> Session:
    """A session this adult runs, as head coach of the club or as its leader; or 404."""
    if not user.is_authenticated:
        raise Http404
    coached = Membership.objects.filter(user=user, role=Role.HEAD_COACH).values("club")
    rows = visible_to(user).filter(Q(club__in=coached) | led_by(user))
    return get_object_or_404(rows, pk=session_id)


def coached_session_for(user: Person, session_id: UUID) -> Session:
    """A session of the club this adult is head coach of, or 404."""
    if not user.is_authenticated:
        raise Http404
    coached = Membership.objects.filter(user=user, role=Role.HEAD_COACH).values("club")
    return get_object_or_404(visible_to(user).filter(club__in=coached), pk=session_id)


def library_for(user: Person) -> tuple[Club, bool]:
    """The club whose activities this adult works with, and whether they are its to change; or 404."""
    place = membership_of(user)
    if place is None or place.role not in (Role.HEAD_COACH, Role.ASSISTANT):
        raise Http404
    return place.club, place.role == Role.HEAD_COACH


def may_edit(user: Person, session: Session) -> bool:
    """The head coach of the club, or the adult to whom this session was handed over."""
    leads = user.is_authenticated and session.leader_id == user.pk and session.date >= _first_led()
    return leads or is_head_coach(user, session.club_id)


def station_for(user: Person, station_id: UUID) -> Station:
    """A station of a session this adult works in, or 404."""
    rows = Station.objects.select_related("session__club", "session__squad")
    return get_object_or_404(rows.filter(session__in=visible_to(user)), pk=station_id)


def coached_station_for(user: Person, station_id: UUID) -> Station:
    """A station of a session of the club this adult is head coach of, or 404."""
    station = station_for(user, station_id)
    coached_session_for(user, station.session_id)
    return station


def venue_for(user: Person, venue_id: UUID) -> Venue:
    """A venue of the club this adult is head coach of, or 404."""
    if not user.is_authenticated:
        raise Http404
    coached = Membership.objects.filter(user=user, role=Role.HEAD_COACH).values("club")
    return get_object_or_404(Venue.objects.select_related("club").filter(club__in=coached), pk=venue_id)
