"""Marks whose time is over. How often a child has been here is remembered: nobody becomes a first-timer by it."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import ngettext

from clubapp.core.registry import Keeping
from clubapp.people.actions.visits import set_sessions_before
from clubapp.people.models import Athlete
from clubapp.register import queries
from clubapp.register.models import AdultMark, Brought, ComingLate, Contacted, Mark, PickUp

KEPT = (Mark, Contacted, Brought, ComingLate, PickUp, AdultMark)


def _old(model: Any, club_id: UUID, first: date) -> QuerySet[Any]:
    rows: QuerySet[Any] = model.objects.filter(session__club=club_id, session__date__lt=first)
    return rows


def _goes(club_id: UUID, first: date) -> list[str]:
    entries = sum(_old(model, club_id, first).count() for model in KEPT)
    sentence = ngettext("%(n)d entry in registers", "%(n)d entries in registers", entries)
    return [sentence % {"n": entries}] if entries else []


def _clear(club_id: UUID, first: date, by: Any) -> None:
    known = dict(Athlete.objects.filter(club=club_id).values_list("pk", "sessions_before"))
    came = {child: count for child, count in queries.visits(known, before=first).items() if count}
    set_sessions_before(club_id=club_id, counts={child: known[child] + count for child, count in came.items()})
    for model in KEPT:
        _old(model, club_id, first).delete()


MARKS = Keeping("register", _lazy("Who was here: the registers"), "", 36, 12, 300, _goes, _clear)
