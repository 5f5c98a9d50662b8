"""A guardian's word that a child comes late, or in time after all. No mark: only who sees the child marks it."""

from __future__ import annotations

import uuid
from dataclasses import replace

from django.db import transaction

from clubapp.core.tell import tell
from clubapp.people.models import Athlete
from clubapp.planning.models import Session
from clubapp.register import queries
from clubapp.register.actions.marks import withdraw_notice
from clubapp.register.actions.taps import Answer, Tap, known, moment, wait_turn, written
from clubapp.register.models import ComingLate


@transaction.atomic
def tell_late(*, session: Session, athlete: Athlete, minutes: int | None, word: str, tap: Tap) -> Answer:
    """Add what was said; sent twice counts once. Who comes late comes: an earlier "cannot come" is taken back.

    Raises:
        OtherTapError: the op_id was used for another child or session.
    """
    wait_turn(session.pk)
    row = known(ComingLate, tap, session_id=session.pk, athlete_id=athlete.pk)
    if row is not None:
        return dict(row.answer)
    mark = queries.current_mark(session.pk, athlete.pk)
    if minutes is not None and mark is not None and mark.notice:
        withdraw_notice(session=session, athlete=athlete, tap=replace(tap, op_id=uuid.uuid5(tap.op_id, "comes")))
    answer = {"athlete": str(athlete.pk), "minutes": minutes, "version": tell(session.pk, "register")}
    before = ComingLate.objects.filter(session=session, athlete=athlete)
    ComingLate.objects.create(
        session=session,
        athlete=athlete,
        minutes=minutes,
        word=word,
        tapped_at=moment(tap, before),
        answer=answer,
        **written(tap),
    )
    return answer
