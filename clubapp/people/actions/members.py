"""The adults of the club: their roles, and what the head coach has seen of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db import transaction

from clubapp.core.audit import record
from clubapp.core.tell import close_sockets
from clubapp.people.models import Membership, Role, Squad, User


@dataclass(frozen=True)
class AdultRecord:
    """What somebody has seen: age, and until when vetting and first aid hold. None: nothing was seen."""

    eighteen: bool = False
    vetted_until: date | None = None
    first_aid_until: date | None = None


RECORD = ("eighteen", "vetted_until", "first_aid_until")


@transaction.atomic
def change_member(*, membership: Membership, role: Role, squads: Iterable[Squad], by: User) -> None:
    """Role and squads of another adult, at once: open pages and sockets ask for their rights again.

    Raises:
        ValueError: an adult changes the own role.
    """
    if membership.user_id == by.pk:
        raise ValueError("nobody changes the own role")
    turned = membership.role != role
    membership.role = role
    membership.save(update_fields=["role"])
    membership.squads.set(squads)
    record(club_id=membership.club_id, user_id=by.pk, verb="changed", kind="member", about=membership.user_id)
    if turned:
        record(club_id=membership.club_id, user_id=by.pk, verb="made", kind=role, about=membership.user_id)
    close_sockets(membership.user_id)


@transaction.atomic
def record_adult(*, membership: Membership, seen: AdultRecord, by: User) -> None:
    """Write down what was seen of an adult; the log keeps which of it changed."""
    fields = [name for name in RECORD if getattr(membership, name) != getattr(seen, name)]
    if not fields:
        return
    for name in fields:
        setattr(membership, name, getattr(seen, name))
    membership.save(update_fields=fields)
    about, club = membership.user_id, membership.club_id
    record(club_id=club, user_id=by.pk, verb="recorded", kind="adult", about=about, fields=fields)


@transaction.atomic
def remove_member(*, membership: Membership, by: User) -> None:
    """The adult's rights in the club end at once; the account stays.

    Raises:
        ValueError: an adult removes the own role, perhaps the last head coach's.
    """
    if membership.user_id == by.pk:
        raise ValueError("nobody removes the own role")
    record(club_id=membership.club_id, user_id=by.pk, verb="removed", kind="member", about=membership.user_id)
    close_sockets(membership.user_id)
    membership.delete()
