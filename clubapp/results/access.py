"""The only door to a club's tests: its head coach and assistants. To everybody else there is none."""

from __future__ import annotations

from django.http import Http404

from clubapp.people.access import Person, membership_of
from clubapp.people.models import Club, Membership, Role

WORKING = (Role.HEAD_COACH, Role.ASSISTANT)


def _place(user: Person) -> Membership:
    place = membership_of(user)
    if place is None or place.role not in WORKING:
        raise Http404
    return place


def club_for(user: Person) -> Club:
    """The club whose tests this adult runs, or 404."""
    return _place(user).club


def may_change(user: Person) -> bool:
    """Tests are the head coach's to make and to put away."""
    return _place(user).role == Role.HEAD_COACH
