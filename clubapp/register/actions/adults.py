"""The adults of the evening."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from clubapp.core.tell import tell
from clubapp.planning.models import Session
from clubapp.register.actions.taps import Answer, Tap, known, moment, wait_turn, written
from clubapp.register.models import AdultMark


@dataclass(frozen=True)
class Adult:
    """An adult as the register says. person: a member's own id, or one made for a typed name. eighteen: 18 or over."""

    person: UUID
    name: str
    here: bool
    eighteen: bool
    user_id: UUID | None = None


@transaction.atomic
def mark_adult(*, session: Session, adult: Adult, tap: Tap) -> Answer:
    """Add a mark of an adult; sent twice counts once.

    Raises:
        OtherTapError: the op_id was used for another adult or session.
    """
    wait_turn(session.pk)
    row = known(AdultMark, tap, session_id=session.pk, person=adult.person)
    if row is not None:
        return dict(row.answer)
    answer = {"person": str(adult.person), "here": adult.here, "version": tell(session.pk, "register")}
    _add(session, adult, tap, answer)
    return answer


def _add(session: Session, adult: Adult, tap: Tap, answer: Answer) -> None:
    before = AdultMark.objects.filter(session=session, person=adult.person)
    AdultMark.objects.create(
        session=session,
        person=adult.person,
        user_id=adult.user_id,
        name=adult.name,
        here=adult.here,
        eighteen=adult.eighteen,
        tapped_at=moment(tap, before),
        answer=answer,
        **written(tap),
    )
