"""The only door to the club's people. Whoever may not see a row gets 404, as if it were not there."""

from __future__ import annotations

from uuid import UUID

from django.contrib.auth.models import AnonymousUser
from django.db.models import QuerySet
from django.http import Http404
from django.shortcuts import get_object_or_404

from clubapp.people.models import Athlete, Club, Guardianship, Membership, Role, User

Person = User | AnonymousUser


def membership_of(user: Person) -> Membership | None:
    """The adult's place in a club: a head coach's first, then the oldest."""
    if not user.is_authenticated:
        return None
    rows = Membership.objects.filter(user=user).select_related("club")
    return rows.filter(role=Role.HEAD_COACH).first() or rows.order_by("club__made_at").first()


def is_head_coach(user: Person, club_id: UUID) -> bool:
    return (
        user.is_authenticated and Membership.objects.filter(user=user, club_id=club_id, role=Role.HEAD_COACH).exists()
    )


def coached_club(user: Person) -> Club:
    """The club this adult is head coach of, or 404."""
    membership = membership_of(user)
    if membership is None or membership.role != Role.HEAD_COACH:
        raise Http404
    return membership.club


def visible_to(user: Person) -> QuerySet[Athlete]:
    """Children this adult works with: the head coach's whole club, an assistant's own squads."""
    if not user.is_authenticated:
        return Athlete.objects.none()
    coached = Membership.objects.filter(user=user, role=Role.HEAD_COACH).values("club")
    assisted = Membership.objects.filter(user=user, role=Role.ASSISTANT).values("squads")
    rows = Athlete.objects.filter(club__in=coached) | Athlete.objects.filter(squads__in=assisted)
    return rows.distinct()


def athlete_for(user: Person, athlete_id: UUID) -> Athlete:
    """A child this adult works with, or 404."""
    return get_object_or_404(visible_to(user), pk=athlete_id)


def coached_athlete(user: Person, athlete_id: UUID) -> Athlete:
    """A child of the club this adult is head coach of, or 404."""
    return get_object_or_404(Athlete, pk=athlete_id, club=coached_club(user))


def children_of(user: Person) -> QuerySet[Athlete]:
    """A guardian's own children."""
    if not user.is_authenticated:
        return Athlete.objects.none()
    mine = Guardianship.objects.filter(guardian__user=user).values("athlete")
    return Athlete.objects.filter(pk__in=mine, left_on__isnull=True)


def child_for(user: Person, athlete_id: UUID) -> Athlete:
    """A guardian's own child, or 404."""
    return get_object_or_404(children_of(user), pk=athlete_id)
