"""A guardian's door: own children, and the sessions of their squads."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404
from django.shortcuts import get_object_or_404

from clubapp.family.models import Feed, PushSubscription
from clubapp.people.access import Person, child_for, children_of, own_guardians, own_tie
from clubapp.people.links import hashed
from clubapp.people.models import Athlete, Squad, User
from clubapp.planning.models import Session

__all__ = ["child_for", "children_of", "own_guardians", "own_tie", "session_of_child", "todays_session"]


def session_of_child(athlete: Athlete, session_id: UUID) -> Session:
    """A session of one of the child's squads, or 404."""
    rows = Session.objects.filter(squad__in=athlete.squads.all(), club=athlete.club_id)
    return get_object_or_404(rows.select_related("club", "squad"), pk=session_id)


def todays_session(athlete: Athlete, session_id: UUID) -> Session:
    """A session of today that takes place, or 404; over or not, for a child may still wait to be collected."""
    session = session_of_child(athlete, session_id)
    if session.called_off or session.date != session.club.today():
        raise Http404
    return session


def feed_of(user: Person) -> Feed | None:
    return Feed.objects.filter(user=user.pk).first()


def phone_of(user: Person, subscription_id: str | None) -> PushSubscription | None:
    """What this adult's phone is told; None: nothing."""
    return PushSubscription.objects.filter(user=user.pk, pk=subscription_id).first() if subscription_id else None


def user_of_feed(token: str) -> User:
    """The guardian whose calendar this is; 404 also when no child is left that this adult may see."""
    row = get_object_or_404(Feed.objects.select_related("user"), token_hash=hashed(token), user__is_active=True)
    if not children_of(row.user).exists():
        raise Http404
    return row.user


def squads_of(user: User) -> list[UUID]:
    """The squads in which the own children are."""
    return list(Squad.objects.filter(athletes__in=children_of(user)).distinct().values_list("pk", flat=True))
