"""The only door to plans: whoever may see the session sees its groups and grid; only who runs it may change them."""

from __future__ import annotations

from uuid import UUID

from clubapp.people.access import Person, is_head_coach
from clubapp.planning.access import coached_session_for, led_session_for, session_for, visible_to
from clubapp.planning.models import Session

__all__ = ["coached_session_for", "led_session_for", "may_build", "may_know_rules", "session_for", "visible_to"]


def may_build(user: Person, session: Session) -> bool:
    """The head coach of the club, or the adult to whom this session was handed over."""
    return may_know_rules(user, session.club_id) or (user.is_authenticated and session.leader_id == user.pk)


def may_know_rules(user: Person, club_id: UUID) -> bool:
    """Pair rules and skill are the head coach's alone, also when an assistant leads."""
    return is_head_coach(user, club_id)
