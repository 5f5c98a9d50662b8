"""The roster's column `speed_s`: a value there becomes a dated result."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.core.registry import ImportColumn
from clubapp.people import cells
from clubapp.results import actions, queries


def check(text: str) -> int:
    """Whole milliseconds."""
    seconds = cells.seconds_cell(text)
    if seconds is None:
        raise cells.CellError(_("The cell is empty."))
    milliseconds = int((seconds * 1000).to_integral_value(ROUND_HALF_UP))
    if milliseconds < 1:
        raise cells.CellError(_("“%(text)s” is shorter than a thousandth of a second.") % {"text": text.strip()})
    return milliseconds


def write(club_id: UUID, values: Mapping[UUID, Any], on: date) -> list[str]:
    return [str(pk) for pk in actions.add_speeds(club_id=club_id, milliseconds=values, on=on)]


def undo(result_ids: list[str]) -> None:
    actions.take_back(result_ids=[UUID(text) for text in result_ids])


def current(athlete_ids: list[UUID]) -> dict[UUID, str]:
    """7.42 for 7420 milliseconds."""
    return {
        athlete_id: f"{(Decimal(value) / 1000).normalize():f}"
        for athlete_id, value in queries.latest_milliseconds(athlete_ids).items()
    }


COLUMN = ImportColumn(
    name="speed_s",
    aliases=("speed", "sprint", "time", "seconds", "speed_in_s", "sprint_s", "time_s"),
    check=check,
    write=write,
    undo=undo,
    current=current,
)
