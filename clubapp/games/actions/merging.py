"""Two records of one child in the games."""

from __future__ import annotations

import json
from uuid import UUID

from django.db import transaction

from clubapp.games import queries
from clubapp.games.actions.erasing import erase_child
from clubapp.games.models import Draw, Entry, Term


@transaction.atomic
def merge_child(stays: UUID, double: UUID) -> None:
    """The child takes the double's place, but in a game where both took part: there the double becomes nobody known,
    so that no place of others moves. In a term's teams it takes the double's place unless it has one.
    """
    both = set(_games(stays)) & set(_games(double))
    for row in queries.holding(Draw.objects.exclude(game__in=both), double):
        _replace(row, ("problem", "answer", "proof"), stays, double)
    for row in queries.holding(Entry.objects.exclude(game__in=both), double):
        _replace(row, ("data",), stays, double)
    for term in queries.holding(Term.objects.all(), double):
        if term.squad_id not in {one.squad_id for one in queries.holding(Term.objects.all(), stays)}:
            _replace(term, ("teams",), stays, double)
    erase_child(double)


def _replace(row: Draw | Entry | Term, names: tuple[str, ...], stays: UUID, double: UUID) -> None:
    for name in names:
        setattr(row, name, json.loads(json.dumps(getattr(row, name)).replace(str(double), str(stays))))
    row.save(update_fields=names)


def _games(child: UUID) -> list[UUID]:
    rows = [*queries.holding(Draw.objects.all(), child), *queries.holding(Entry.objects.all(), child)]
    return [row.game_id for row in rows]
