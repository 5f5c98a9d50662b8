"""Marks of children. Only ever added; nothing here says "here" for a child nobody tapped."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, replace
from uuid import UUID

from django.db import transaction

from clubapp.core.tell import tell
from clubapp.people.models import Athlete
from clubapp.planning.models import Session
from clubapp.register import order, queries
from clubapp.register.actions.taps import Answer, OtherTapError, Tap, moment, wait_turn, written
from clubapp.register.models import Mark


@dataclass(frozen=True)
class Said:
    """What a mark says. leave_out: Mark.LeaveOut values of a child who goes easy; with_whom: who took it home.

    went: a Mark.Went; collector: the id of the guardian who took it; reason: why the leader decided so.
    """

    kind: str
    leave_out: tuple[str, ...] = ()
    with_whom: str = ""
    word: str = ""
    by_guardian: bool = False
    went: str = ""
    collector: UUID | None = None
    reason: str = ""


@transaction.atomic
def mark(*, session: Session, athlete: Athlete, said: Said, tap: Tap) -> Answer:
    """Add a mark and answer with what was kept; the same tap sent again gets the same answer.

    Raises:
        OtherTapError: the op_id was used for another child or session.
    """
    wait_turn(session.pk)
    known = Mark.objects.filter(op_id=tap.op_id).first()
    if known is not None:
        if (known.session_id, known.athlete_id) != (session.pk, athlete.pk):
            raise OtherTapError(str(tap.op_id))
        return dict(known.answer)
    return _add(session, athlete.pk, said, tap, tell(session.pk, "register"))


@transaction.atomic
def mark_here(*, session: Session, athlete: Athlete, tap: Tap) -> Answer:
    return mark(session=session, athlete=athlete, said=Said(Mark.Kind.HERE), tap=tap)


@transaction.atomic
def take_back_mark(*, session: Session, athlete: Athlete, tap: Tap) -> Answer:
    """As if no adult had said anything; a guardian's notice shows again."""
    return mark(session=session, athlete=athlete, said=Said(Mark.Kind.CLEARED), tap=tap)


@transaction.atomic
def tell_cannot_come(*, session: Session, athlete: Athlete, word: str, tap: Tap) -> Answer:
    """A guardian's notice."""
    said = Said(Mark.Kind.TOLD, word=word, by_guardian=True)
    return mark(session=session, athlete=athlete, said=said, tap=tap)


@transaction.atomic
def withdraw_notice(*, session: Session, athlete: Athlete, tap: Tap) -> Answer:
    """The guardian's child comes after all; what an adult marked stays."""
    return mark(session=session, athlete=athlete, said=Said(Mark.Kind.CLEARED, by_guardian=True), tap=tap)


@transaction.atomic
def mark_rest_absent(*, session: Session, tap: Tap) -> list[UUID]:
    """The rest are not here: only children nobody has said anything about, as far as the adult could see.

    Returns the children marked. A notice stays, and so does every mark, also one made since the page was shown.
    """
    wait_turn(session.pk)
    said_since = Mark.objects.filter(session=session, answer__version__gt=tap.base_version).values("athlete")
    unmarked = queries.expected(session).exclude(pk__in=said_since).exclude(pk__in=queries.current_marks(session.pk))
    ids = sorted(unmarked.values_list("pk", flat=True))
    if ids:
        version = tell(session.pk, "register")
        for child in ids:
            _add(session, child, Said(Mark.Kind.ABSENT), replace(tap, op_id=_part(tap.op_id, child)), version)
    return ids


@transaction.atomic
def take_back_rest(*, session: Session, rest: UUID, tap: Tap) -> list[UUID]:
    """Undo "the rest are not here" for every child nobody has marked since. rest: its op_id."""
    wait_turn(session.pk)
    marks = queries.current_marks(session.pk)
    ids = sorted(child for child, current in marks.items() if current.op_id == _part(rest, child))
    if ids:
        version = tell(session.pk, "register")
        for child in ids:
            _add(session, child, Said(Mark.Kind.CLEARED), replace(tap, op_id=_part(tap.op_id, child)), version)
    return ids


def _part(op_id: UUID, child: UUID) -> UUID:
    """The id of one child's part in a tap that touches many."""
    return uuid.uuid5(op_id, str(child))


def _add(session: Session, child: UUID, said: Said, tap: Tap, version: int) -> Answer:
    before = order.in_order(Mark.objects.filter(session=session, athlete=child))
    answer = {"athlete": str(child), "kind": str(said.kind), "version": version}
    Mark.objects.create(
        session=session,
        athlete_id=child,
        kind=said.kind,
        leave_out=sorted(said.leave_out),
        with_whom=said.with_whom,
        went=said.went,
        collector_id=said.collector,
        reason=said.reason,
        word=said.word,
        by_guardian=said.by_guardian,
        tapped_at=moment(tap, before),
        answer=answer,
        **written(tap),
    )
    return answer
