"""Guardians who are rung or written to about a child. Every look at a number is in the log; answers are only added."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from dataclasses import dataclass, replace
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from clubapp.core.audit import record_many
from clubapp.people.models import Athlete, Guardian, Guardianship, User
from clubapp.planning.models import Session
from clubapp.register.actions.marks import Said, mark
from clubapp.register.actions.taps import Tap, known, written
from clubapp.register.models import Contacted, Mark


@dataclass(frozen=True)
class Noted:
    """What came of it. said: a Contacted.Answer; guardian: who was asked, if one was."""

    said: str
    word: str = ""
    guardian: Guardian | None = None


@transaction.atomic
def read_contacts(*, club_id: UUID, athlete_ids: Iterable[UUID], by: User) -> dict[UUID, list[Guardianship]]:
    """The adults to ring or write to, by child, in the order to do so."""
    ids = list(athlete_ids)
    rows = Guardianship.objects.filter(athlete__in=ids, athlete__club=club_id).select_related("guardian")
    found: dict[UUID, list[Guardianship]] = {child: [] for child in ids}
    for tie in rows.order_by("emergency_order", "guardian__name", "pk"):
        found[tie.athlete_id].append(tie)
    record_many(club_id=club_id, user_id=by.pk, verb="read", kind="contacts", about=sorted(found))
    return found


@transaction.atomic
def note_answer(*, session: Session, athlete: Athlete, noted: Noted, tap: Tap) -> Contacted:
    """Add what a guardian answered. "Cannot come" is also the mark of an adult who was told so.

    Raises:
        OtherTapError: the op_id was used for another child or session.
    """
    row = known(Contacted, tap, session_id=session.pk, athlete_id=athlete.pk)
    if row is not None:
        return row
    row = Contacted.objects.create(
        athlete=athlete,
        session=session,
        guardian=noted.guardian,
        said=noted.said,
        word=noted.word,
        tapped_at=min(tap.tapped_at or timezone.now(), timezone.now()),
        **written(tap),
    )
    if noted.said == Contacted.Answer.CANNOT:
        part = replace(tap, op_id=uuid.uuid5(tap.op_id, "told"))
        mark(session=session, athlete=athlete, said=Said(Mark.Kind.TOLD, word=noted.word), tap=part)
    return row
