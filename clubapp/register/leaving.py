"""Who may take a child home: what the page offers, and what is taken of what was answered."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clubapp.people.consents import goes_alone
from clubapp.people.queries import collectors
from clubapp.register import pick_ups
from clubapp.register.actions import Said
from clubapp.register.models import Mark, PickUp

Went = Mark.Went
ALONE, DECIDED = str(Went.ALONE), str(Went.DECIDED)  # instead of an adult's id
WHO = gettext_lazy("Who takes the child?")
LONGEST_NAME, LONGEST_REASON = 80, 200


@dataclass(frozen=True)
class Taker:
    """An adult who may collect, as far as the club knows. today: as a guardian asked and the leader confirmed."""

    id: UUID
    name: str
    relation: str
    today: bool = False


@dataclass(frozen=True)
class Ways:
    """How one child may go. alone: by a guardian's consent. decides: this adult leads, and may decide otherwise.

    wished: what a guardian asks for today and nobody has confirmed, for the leader's eyes; nobody of them may collect.
    """

    adults: tuple[Taker, ...] = ()
    alone: bool = False
    decides: bool = False
    wished: tuple[PickUp, ...] = ()


@dataclass(frozen=True)
class Going:
    """What was answered. went: an adult's id, ALONE or DECIDED; with_whom and reason belong to a decision."""

    went: str
    with_whom: str = ""
    reason: str = ""


class NotSoError(ValueError):
    """The child cannot go like this; `field` is the answer that is wrong, the message what to do."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


def ways_of(athlete_ids: Iterable[UUID], session_id: UUID, *, decides: bool) -> dict[UUID, Ways]:
    ids = list(athlete_ids)
    takers, alone = collectors(ids), goes_alone(ids)
    today = pick_ups.of_session(session_id, state=PickUp.State.CONFIRMED, athletes=ids)
    wished = pick_ups.of_session(session_id, state=PickUp.State.ASKED, athletes=ids) if decides else {}
    return {
        child: Ways(
            (
                *(Taker(tie.guardian_id, tie.guardian.name, tie.relation) for tie in takers.get(child, ())),
                *(Taker(row.pk, row.name, row.relation, today=True) for row in today.get(child, ()) if _may(row)),
            ),
            child in alone,
            decides,
            tuple(wished.get(child, ())),
        )
        for child in ids
    }


def _may(row: PickUp) -> bool:
    """Contact may have been restricted since it was confirmed."""
    return not pick_ups.is_restricted(row)


def said_of(ways: Ways, going: Going) -> Said:
    """The mark that says so.

    Raises:
        NotSoError: nobody was named, or one who may not collect, or somebody decides who does not lead.
    """
    left = Mark.Kind.LEFT
    if going.went == DECIDED:
        _check_decision(ways, going)
        return Said(left, with_whom=going.with_whom, went=Went.DECIDED, reason=going.reason)
    if going.went == ALONE:
        if not ways.alone:
            raise NotSoError("went", _("No guardian has agreed that this child goes alone. The leader decides."))
        return Said(left, went=Went.ALONE)
    if not going.went:
        raise NotSoError("went", _("Say who takes the child."))
    taker = next((adult for adult in ways.adults if str(adult.id) == going.went), None)
    if taker is None:
        raise NotSoError("went", _("As far as the club knows this adult may not collect. The leader decides."))
    collector = None if taker.today else taker.id
    return Said(left, with_whom=taker.name[:LONGEST_NAME], went=Went.ADULT, collector=collector)


def _check_decision(ways: Ways, going: Going) -> None:
    if not ways.decides:
        raise NotSoError("went", _("Only the leader decides this. Ask the leader."))
    if not going.with_whom:
        raise NotSoError("with_whom", _("Write with whom the child goes, or that it goes alone."))
    if not going.reason:
        raise NotSoError("reason", _("Write down the reason."))
