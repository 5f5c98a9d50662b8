"""What an adult saw when a child came whose health note says that something has to be there."""

from __future__ import annotations

from django.db import transaction

from clubapp.core.tell import tell
from clubapp.people.models import Athlete
from clubapp.planning.models import Session
from clubapp.register.actions.taps import Answer, Tap, known, moment, wait_turn, written
from clubapp.register.models import Brought


@transaction.atomic
def note_brought(*, session: Session, athlete: Athlete, there: bool, tap: Tap) -> Answer:
    """Add what was said; sent twice counts once.

    Raises:
        OtherTapError: the op_id was used for another child or session.
    """
    wait_turn(session.pk)
    row = known(Brought, tap, session_id=session.pk, athlete_id=athlete.pk)
    if row is not None:
        return dict(row.answer)
    answer = {"athlete": str(athlete.pk), "there": there, "version": tell(session.pk, "register")}
    before = Brought.objects.filter(session=session, athlete=athlete)
    Brought.objects.create(
        session=session,
        athlete=athlete,
        there=there,
        tapped_at=moment(tap, before),
        answer=answer,
        **written(tap),
    )
    return answer
