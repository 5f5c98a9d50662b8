"""The adults of the club: their roles, and what the head coach has seen of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from allauth.mfa.models import Authenticator
from django.db import transaction

from clubapp.core.audit import record
from clubapp.core.tell import close_sockets
from clubapp.people import second_step, sign_ins
from clubapp.people.models import Club, Membership, Role, Squad, User


@dataclass(frozen=True)
class AdultRecord:
    """What somebody has seen: age, and until when vetting and first aid hold. None: nothing was seen."""

    eighteen: bool = False
    vetted_until: date | None = None
    first_aid_until: date | None = None


@transaction.atomic
def ask_second_step(*, club: Club, wanted: bool, by: User) -> None:
    """Ask the club's head coaches for a second step; who has none is signed out and sets it up on the way in."""
    club.second_step = wanted
    club.save(update_fields=["second_step"])
    verb = "asked second step" if wanted else "unasked second step"
    record(club_id=club.pk, user_id=by.pk, verb=verb, kind="club", about=club.pk)
    for row in Membership.objects.filter(club=club, role=Role.HEAD_COACH).select_related("user"):
        _sign_out_without_second_step(row.user)


@transaction.atomic
def remove_step(*, step: Authenticator, by: User) -> None:
    """Take a second step away; without any, spare codes are of no use."""
    step.delete()
    if not second_step.is_set_up(by):
        Authenticator.objects.filter(user=by).delete()
    record(club_id=None, user_id=by.pk, verb="removed", kind="second step", about=by.pk)


def _sign_out_without_second_step(user: User) -> None:
    if second_step.is_missing(user):
        sign_ins.end(user)


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
        _sign_out_without_second_step(membership.user)
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
