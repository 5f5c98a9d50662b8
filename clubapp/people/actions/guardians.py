"""The adults responsible for a child."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db import transaction

from clubapp.core.audit import record
from clubapp.core.post import withdraw
from clubapp.core.registry import registry
from clubapp.core.tell import close_sockets
from clubapp.people.models import Athlete, Guardian, Guardianship, OneTimeLink, User

CONTACT = ("name", "phone", "email")
TIED = ("relation", "may_collect", "emergency_order", "restricted")


@dataclass(frozen=True)
class GuardianDetails:
    """Who the adult is, and what the adult is to this child. Nobody may collect unless the club says so."""

    name: str
    phone: str = ""
    email: str = ""
    relation: str = ""
    may_collect: bool = False
    emergency_order: int = 1
    restricted: bool = False


@transaction.atomic
def add_guardian(
    *, athlete: Athlete, details: GuardianDetails, by: User | None, known: Guardian | None = None
) -> Guardianship:
    """Tie a new adult to a child, or one the club knows already: then name, phone and e-mail stay as they are.

    Restricted for a brother or sister is restricted here too, until the head coach lifts it for this child.
    """
    guardian = known or Guardian.objects.create(
        club=athlete.club, name=details.name, phone=details.phone, email=details.email
    )
    elsewhere = Guardianship.everyone.filter(guardian=guardian, restricted=True).exists()
    restricted = details.restricted or elsewhere
    tie = Guardianship.everyone.create(
        guardian=guardian,
        athlete=athlete,
        relation=details.relation,
        may_collect=details.may_collect and not restricted,
        emergency_order=details.emergency_order,
        restricted=restricted,
    )
    _record(tie, by, "made")
    if restricted:
        cut_off(guardian)
    return tie


@transaction.atomic
def change_guardian(*, tie: Guardianship, details: GuardianDetails, by: User) -> None:
    for name in CONTACT:
        setattr(tie.guardian, name, getattr(details, name))
    tie.guardian.save(update_fields=CONTACT)
    turned = tie.restricted != details.restricted
    for name in TIED:
        setattr(tie, name, getattr(details, name))
    tie.may_collect = details.may_collect and not details.restricted
    tie.save(update_fields=TIED)
    _record(tie, by, "changed")
    if turned:
        _restriction_turned(tie, by)


@transaction.atomic
def change_own_contact(*, guardians: Iterable[Guardian], contact: Mapping[str, str], by: User) -> None:
    """A guardian's own name, phone and e-mail in every club; what the adult is to a child stays the club's to say."""
    for guardian in guardians:
        changed = [name for name in CONTACT if getattr(guardian, name) != contact[name]]
        for name in changed:
            setattr(guardian, name, contact[name])
        if changed:
            guardian.save(update_fields=changed)
            for tie in guardian.children.select_related("athlete"):
                _record(tie, by, "changed own contact")


def _restriction_turned(tie: Guardianship, by: User) -> None:
    _record(tie, by, "restricted" if tie.restricted else "lifted restriction")
    if tie.restricted:
        cut_off(tie.guardian)
    elif tie.guardian.user_id:
        close_sockets(tie.guardian.user_id)


def cut_off(guardian: Guardian) -> None:
    """Contact with a child is restricted: open pages are put away at once, nothing that waits is sent, and what the
    account holds besides its sign-in is over for good. An unused invitation of an adult without any child left is void.
    """
    withdraw(person=guardian.pk)
    if guardian.user_id:
        close_sockets(guardian.user_id)
        registry.part(guardian.user_id, restricted=True)
    if not guardian.children.exists():
        OneTimeLink.objects.filter(guardian=guardian, used_at__isnull=True).delete()


@transaction.atomic
def remove_guardian(*, tie: Guardianship, by: User) -> None:
    """The adult sees nothing of this child from now on; without another child the adult is forgotten."""
    _record(tie, by, "removed")
    guardian, user_id = tie.guardian, tie.guardian.user_id
    if user_id:
        close_sockets(user_id)
    tie.delete()
    forget_if_alone(guardian)
    if user_id:
        registry.part(user_id, restricted=False)


def forget_if_alone(guardian: Guardian) -> None:
    """An adult who is responsible for no child of the club has no place in its records."""
    if not Guardianship.everyone.filter(guardian=guardian).exists():
        OneTimeLink.objects.filter(guardian=guardian).delete()
        withdraw(person=guardian.pk)
        guardian.delete()


def _record(tie: Guardianship, by: User | None, verb: str) -> None:
    record(
        club_id=tie.athlete.club_id,
        user_id=by.pk if by else None,
        verb=verb,
        kind="guardian",
        about=tie.athlete_id,
        guardian=str(tie.guardian_id),
    )
