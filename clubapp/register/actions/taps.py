"""What every write on the field brings along, and how it is taken in once and in its right place."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, TypeVar
from uuid import UUID

from django.db import models
from django.utils import timezone

from clubapp.core.models import FieldWrite, SessionVersion
from clubapp.people.models import User

JUST_AFTER = timedelta(microseconds=1)
Answer = dict[str, Any]
Row = TypeVar("Row", bound=models.Model)


@dataclass(frozen=True)
class Tap:
    """Who tapped, on which device and when; base_version is the register the tapping adult saw.

    op_id: made by the phone; the same one sent twice counts once. tapped_at: None means now.
    """

    by: User | None
    op_id: UUID = field(default_factory=uuid.uuid4)
    device: str = ""
    tapped_at: datetime | None = None
    base_version: int = 0


class OtherTapError(ValueError):
    """The op_id belongs to another tap: a phone that makes equal ids, or somebody who guesses."""


def known(model: type[Row], tap: Tap, **same: Any) -> Row | None:
    """The row this tap made before, None where it is new. same: what that row has to say, field by field.

    Raises:
        OtherTapError: the op_id was used for something else.
    """
    row = model._default_manager.filter(op_id=tap.op_id).first()
    if row is not None and any(getattr(row, name) != value for name, value in same.items()):
        raise OtherTapError(str(tap.op_id))
    return row


def wait_turn(session_id: UUID) -> None:
    """One write to a session at a time; SQLite does so anyway, PostgreSQL by this lock."""
    SessionVersion.objects.get_or_create(session_id=session_id)
    SessionVersion.objects.select_for_update().get(session_id=session_id)


def moment(tap: Tap, marks: Iterable[FieldWrite]) -> datetime:
    """Hybrid time: never later than receipt, and after every mark the tapping adult had seen."""
    now = timezone.now()
    seen = [mark.tapped_at for mark in marks if mark.answer.get("version", 0) <= tap.base_version]
    return max([min(tap.tapped_at or now, now), *(at + JUST_AFTER for at in seen)])


def written(tap: Tap) -> dict[str, Any]:
    """The columns every kind of mark takes from the tap."""
    return {"op_id": tap.op_id, "device": tap.device, "base_version": tap.base_version, "by": tap.by}
