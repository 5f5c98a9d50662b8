"""The parts of a session. Together they never need more minutes than the session has."""

from __future__ import annotations

from collections.abc import Mapping
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from clubapp.core.tell import tell
from clubapp.planning import queries
from clubapp.planning.actions.order import moved, next_number, number_anew
from clubapp.planning.actions.trouble import PlanError
from clubapp.planning.models import Block, Session


@transaction.atomic
def add_block(*, session: Session, kind: str, minutes: int) -> Block:
    """Behind the others. The rotation takes what is left, so its minutes are not asked.

    Raises:
        PlanError: a second rotation, or more minutes than there are.
    """
    if kind == Block.Kind.ROTATION and queries.blocks(session).filter(kind=kind).exists():
        raise PlanError(_("This session has its rotation already."))
    seconds = 0 if kind == Block.Kind.ROTATION else minutes * 60
    position = next_number(Block, session, "position")
    block = Block.objects.create(session=session, position=position, kind=kind, seconds=seconds)
    _check(session)
    tell(session.pk, "planning")
    return block


@transaction.atomic
def change_block_minutes(*, session: Session, minutes: Mapping[UUID, int]) -> None:
    """New minutes for some blocks, all or nothing.

    Raises:
        PlanError: more minutes than there are.
    """
    for block in queries.blocks(session).exclude(kind=Block.Kind.ROTATION):
        wanted = minutes.get(block.pk)
        # A block of odd seconds keeps them as long as nobody changes its minutes.
        if wanted is not None and wanted != round(block.seconds / 60):
            block.seconds = wanted * 60
            block.save(update_fields=["seconds"])
    _check(session)
    tell(session.pk, "planning")


@transaction.atomic
def move_block(*, block: Block, step: int) -> None:
    """Earlier (-1) or later (+1)."""
    number_anew(moved(list(queries.blocks(block.session)), block, step), "position")
    tell(block.session_id, "planning")


@transaction.atomic
def remove_block(*, block: Block) -> None:
    session = block.session
    block.delete()
    number_anew(list(queries.blocks(session)), "position")
    tell(session.pk, "planning")


def _check(session: Session) -> None:
    """Raising inside the transaction takes everything back."""
    over = queries.other_seconds(session) - session.minutes * 60
    if over > 0:
        sentence = _("That is %(over)d minutes more than the session has. Shorten a block, or lengthen the session.")
        raise PlanError(sentence % {"over": -(-over // 60)})
