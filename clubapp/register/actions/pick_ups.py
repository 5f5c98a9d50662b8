"""A change of who takes a child home today: a guardian asks, the session's leader decides, the others are told."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from clubapp.core.audit import record
from clubapp.core.tell import tell
from clubapp.people.models import Guardianship, User
from clubapp.planning.models import Session
from clubapp.register import letters, pick_ups
from clubapp.register.models import PickUp

State = PickUp.State


@dataclass(frozen=True)
class Picker:
    """Who is to take the child, as a guardian says."""

    name: str
    relation: str
    phone: str = ""


@transaction.atomic
def ask_pick_up(*, session: Session, tie: Guardianship, picker: Picker, by: User) -> PickUp:
    """Instead of what this guardian asked for before; the other adults of the child are told that somebody asked."""
    _withdraw(session, tie, by)
    row = PickUp.objects.create(session=session, athlete=tie.athlete, guardian=tie.guardian, **vars(picker))
    _record(row, by, "asked")
    letters.tell_others(row, letters.ASKED, but_for=tie.guardian)
    tell(session.pk, "register")
    return row


@transaction.atomic
def withdraw_pick_up(*, session: Session, tie: Guardianship, by: User) -> None:
    """The guardian's own wish holds no more, confirmed or not."""
    if row := _withdraw(session, tie, by):
        letters.tell_others(row, letters.WITHDRAWN, but_for=tie.guardian)
        tell(session.pk, "register")


@transaction.atomic
def decide_pick_up(*, pick_up: PickUp, yes: bool, by: User) -> bool:
    """The leader says yes or no; a yes may be taken back.

    False: it may be an adult who must have no contact with the child, and nothing is confirmed.
    """
    if yes and pick_ups.is_restricted(pick_up):
        _record(pick_up, by, "could not confirm")
        return False
    pick_up.state = State.CONFIRMED if yes else State.REFUSED
    pick_up.decided_by, pick_up.decided_at = by, timezone.now()
    pick_up.save(update_fields=["state", "decided_by", "decided_at"])
    _record(pick_up, by, "confirmed" if yes else "refused")
    letters.tell_others(pick_up, letters.CONFIRMED if yes else letters.REFUSED)
    tell(pick_up.session_id, "register")
    return True


def _withdraw(session: Session, tie: Guardianship, by: User) -> PickUp | None:
    rows = list(pick_ups.standing().filter(session=session, athlete=tie.athlete, guardian=tie.guardian))
    for row in rows:
        row.state = State.WITHDRAWN
        row.save(update_fields=["state"])
        _record(row, by, "took back")
    return rows[-1] if rows else None


def _record(row: PickUp, by: User, verb: str) -> None:
    """By the ids of child and wish alone; who it is about stands in neither log nor mail."""
    club_id = row.athlete.club_id
    record(club_id=club_id, user_id=by.pk, verb=verb, kind="pick-up", about=row.athlete_id, pick_up=str(row.pk))
