"""A suggested session becomes the session: its parts and its stations."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from clubapp.core.audit import record
from clubapp.core.tell import tell
from clubapp.people.models import User
from clubapp.planning.actions.stations import add_activity
from clubapp.planning.actions.trouble import PlanError
from clubapp.planning.library.card import Card
from clubapp.planning.models import Block, Session, Station


@dataclass(frozen=True)
class Whole:
    """A part that all children do at once, or the rotation (without minutes); gathering and water have no card."""

    kind: str
    minutes: int = 0
    code: str = ""
    name: str = ""


@dataclass(frozen=True)
class Chosen:
    """A card for a station, with the kit of as many lanes as its groups fill."""

    code: str
    card: Card
    kit: Mapping[str, int]


@transaction.atomic
def take_menu(*, session: Session, parts: Sequence[Whole], stations: Sequence[Chosen], by: User) -> None:
    """Parts and stations take the place of those that were there.

    Raises:
        PlanError: the session has begun.
    """
    only_before(session)
    Block.objects.filter(session=session).delete()
    Station.objects.filter(session=session).delete()
    for position, part in enumerate(parts, start=1):
        values = {"kind": part.kind, "seconds": 60 * part.minutes, "activity": part.code, "name": part.name}
        Block.objects.create(session=session, position=position, **values)
    for one in stations:
        station = add_activity(session=session, code=one.code, card=one.card)
        station.kit = dict(one.kit)
        station.save(update_fields=["kit"])
    record(club_id=session.club_id, user_id=by.pk, verb="planned", kind="session", about=session.pk)
    tell(session.pk, "planning")


def only_before(session: Session) -> None:
    """
    Raises:
        PlanError: the session has begun.
    """
    if session.starts_at <= timezone.now():
        raise PlanError(_("This session has begun: what was planned for it stays."))
