"""What every write of the field brings along: who, on which phone, when; taken in once and in its right place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from clubapp.live.access import Watcher
from clubapp.register.actions import Tap, taps
from clubapp.register.actions.taps import OtherTapError, Row, wait_turn, written

Answer = dict[str, Any]


@dataclass(frozen=True)
class Sent:
    """A tap on the field. by: the adult, with an account or a pass."""

    by: Watcher
    tap: Tap


def known(model: type[Row], sent: Sent, **same: Any) -> Row | None:
    """The row this tap made before, if it was sent already. From here on nobody else writes to the session.

    Raises:
        OtherTapError: the op_id was used in another session, or for something that is not the same.
    """
    session = sent.by.session
    wait_turn(session.pk)
    row = taps.known(model, sent.tap, **same)
    if row is not None and getattr(row, "session_id", session.pk) != session.pk:
        raise OtherTapError(str(sent.tap.op_id))
    return row


def columns(sent: Sent) -> dict[str, Any]:
    """The columns every row takes from the tap and the adult."""
    return {**written(sent.tap), "by": sent.by.user, "visitor": sent.by.visitor}
