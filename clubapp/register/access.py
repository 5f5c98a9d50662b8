"""The door to the register: whoever works in the session sees it; only listed children can be marked."""

from __future__ import annotations

from uuid import UUID

from django.db.models import Q, QuerySet
from django.shortcuts import get_object_or_404

from clubapp.people.access import Person, is_head_coach
from clubapp.people.models import Athlete
from clubapp.planning.access import led_session_for, session_for
from clubapp.planning.models import Session
from clubapp.register.models import Mark, PickUp

__all__ = ["expected", "led_session_for", "listed_child", "may_finish", "pick_up_for", "session_for"]


def expected(session: Session) -> QuerySet[Athlete]:
    """Whom the register lists: the squad's children who belong to the club that day, and any child marked in it."""
    belongs = Q(squads=session.squad_id) & (Q(left_on__isnull=True) | Q(left_on__gt=session.date))
    marked = Q(pk__in=Mark.objects.filter(session=session).values("athlete"))
    return Athlete.objects.filter(belongs | marked, club=session.club_id).distinct()


def listed_child(session: Session, athlete_id: UUID) -> Athlete:
    """A child on this register, or 404."""
    return get_object_or_404(expected(session), pk=athlete_id)


def pick_up_for(session: Session, pick_up_id: UUID) -> PickUp:
    """A wish for this session, whatever became of it, or 404."""
    rows = PickUp.objects.select_related("athlete", "session__club", "session__squad")
    return get_object_or_404(rows, pk=pick_up_id, session=session)


def may_finish(user: Person, session: Session) -> bool:
    """The head coach, or the adult to whom this session was handed over."""
    leads = user.is_authenticated and session.leader_id == user.pk
    return leads or is_head_coach(user, session.club_id)
