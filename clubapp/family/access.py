"""A guardian's door: own children, and the sessions of their squads."""

from __future__ import annotations

from uuid import UUID

from django.shortcuts import get_object_or_404

from clubapp.people.access import child_for, children_of, own_guardians, own_tie
from clubapp.people.models import Athlete
from clubapp.planning.models import Session

__all__ = ["child_for", "children_of", "own_guardians", "own_tie", "session_of_child"]


def session_of_child(athlete: Athlete, session_id: UUID) -> Session:
    """A session of one of the child's squads, or 404."""
    rows = Session.objects.filter(squad__in=athlete.squads.all(), club=athlete.club_id)
    return get_object_or_404(rows.select_related("club", "squad"), pk=session_id)
