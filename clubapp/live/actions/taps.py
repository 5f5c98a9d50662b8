"""What every write of the field brings along: who, on which phone, when; taken in once and in its right place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeVar

from django.db import models

from clubapp.live.access import Watcher
from clubapp.register.actions import Tap
from clubapp.register.actions.taps import OtherTapError, wait_turn, written

Answer = dict[str, Any]
Row = TypeVar("Row", bound=models.Model)


@dataclass(frozen=True)
class Sent:
    """A tap on the field. by: the adult, with an account or a pass."""

    by: Watcher
    tap: Tap


def known(model: type[Row], sent: Sent) -> Row | None:
    """The row this tap made before, if it was sent already. From here on nobody else writes to the session.

    Raises:
        OtherTapError: the op_id was used in another session.
    """
    session = sent.by.session
    wait_turn(session.pk)
    row = model._default_manager.filter(op_id=sent.tap.op_id).first()
    if row is not None and getattr(row, "session_id", session.pk) != session.pk:
        raise OtherTapError(str(sent.tap.op_id))
    return row


def columns(sent: Sent) -> dict[str, Any]:
    """The columns every row takes from the tap and the adult."""
    return {**written(sent.tap), "by": sent.by.user, "visitor": sent.by.visitor}
