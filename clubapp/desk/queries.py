"""What the head coach's desk shows from several apps."""

from __future__ import annotations

from dataclasses import dataclass

from clubapp.people.access import Person, children_of, membership_of
from clubapp.people.models import Club, Role


@dataclass(frozen=True)
class Nav:
    """Which links an adult gets: tonight for those who work, the lists for the head coach, children for a guardian."""

    club: Club | None
    works: bool
    coaches: bool
    guards: bool


def nav_for(user: Person) -> Nav | None:
    """None for somebody who is not signed in."""
    if not user.is_authenticated:
        return None
    membership = membership_of(user)
    role = membership.role if membership else None
    return Nav(
        club=membership.club if membership else _club_of_children(user),
        works=role in (Role.HEAD_COACH, Role.ASSISTANT),
        coaches=role == Role.HEAD_COACH,
        guards=children_of(user).exists(),
    )


def _club_of_children(user: Person) -> Club | None:
    child = children_of(user).select_related("club").order_by("pk").first()
    return child.club if child else None
