"""Marks of children. Only ever added; nothing here says "here" for a child nobody tapped."""

from __future__ import annotations

from dataclasses import dataclass, replace
from uuid import UUID

from django.db import transaction

from clubapp.core.tell import tell
from clubapp.people.models import Athlete
from clubapp.planning.models import Session
from clubapp.register import order, queries
from clubapp.register.actions.taps import Answer, Tap, known, moment, wait_turn, written
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
    row = known(Mark, tap, session_id=session.pk, athlete_id=athlete.pk)
    if row is not None:
        return dict(row.answer)
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
def mark_rest_absent(*, session: Session, tap: Tap, only: UUID | None = None) -> list[UUID]:
    """The rest are not here: only children nobody has said anything about, as far as the adult could see.

    Returns the children marked. A notice stays, and so does every mark, also one made since the page was shown by
    another phone: what was tapped on its own a phone knows.
    only: one child's part of it, from a phone that had no network; what had reached us before is not done again.
    """
    wait_turn(session.pk)
    said_since = Mark.objects.filter(session=session, answer__version__gt=tap.base_version)
    elsewhere = (said_since.exclude(device=tap.device) if tap.device else said_since).values("athlete")
    unmarked = queries.expected(session).exclude(pk__in=elsewhere).exclude(pk__in=queries.current_marks(session.pk))
    ids = sorted(unmarked.values_list("pk", flat=True))
    return _add_parts(session, ids, Said(Mark.Kind.ABSENT), tap, only)


@transaction.atomic
def take_back_rest(*, session: Session, rest: UUID, tap: Tap, only: UUID | None = None) -> list[UUID]:
    """Undo "the rest are not here" for every child nobody has marked since. rest: its op_id; only: one child."""
    wait_turn(session.pk)
    return _add_parts(session, queries.marked_by_rest(session.pk, rest), Said(Mark.Kind.CLEARED), tap, only)


def _add_parts(session: Session, ids: list[UUID], said: Said, tap: Tap, only: UUID | None) -> list[UUID]:
    """A mark for each child with an id of its own, made of the tap's; one that is there already stays as it is."""
    parts = {child: order.part(tap.op_id, child) for child in ids if only in (None, child)}
    taken = set(Mark.objects.filter(op_id__in=parts.values()).values_list("op_id", flat=True))
    parts = {child: op_id for child, op_id in parts.items() if op_id not in taken}
    if parts:
        version = tell(session.pk, "register")
        for child, op_id in parts.items():
            _add(session, child, said, replace(tap, op_id=op_id), version)
    return list(parts)


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
