"""Blocks and stations stand in an order that a database constraint keeps free of doubles."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from django.db.models import F, Max

from clubapp.planning.models import Block, Session, Station

Row = Block | Station
T = TypeVar("T", Block, Station)
OUT_OF_THE_WAY = 1000  # more than any session has blocks or stations


def next_number(model: type[Block] | type[Station], session: Session, field: str) -> int:
    """One more than the last; the first is 1."""
    last = model._default_manager.filter(session=session).aggregate(last=Max(field))["last"]
    return 1 if last is None else last + 1


def number_anew(rows: Sequence[Row], field: str) -> None:
    """Give the rows the numbers from 1 in this order; first away from the old ones, so that none stands twice."""
    if not rows:
        return
    model = type(rows[0])
    model._default_manager.filter(pk__in=[row.pk for row in rows]).update(**{field: F(field) + OUT_OF_THE_WAY})
    for number, row in enumerate(rows, start=1):
        model._default_manager.filter(pk=row.pk).update(**{field: number})


def moved(rows: Sequence[T], row: T, step: int) -> list[T]:
    """The rows with one of them moved by `step` places; at the end it stays where it is."""
    order = [one for one in rows if one.pk != row.pk]
    place = next(index for index, one in enumerate(rows) if one.pk == row.pk)
    order.insert(max(0, min(len(order), place + step)), row)
    return order
