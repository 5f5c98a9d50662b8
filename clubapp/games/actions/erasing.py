"""What becomes of games when a child is erased."""

from __future__ import annotations

import json
import uuid
from collections import defaultdict
from uuid import UUID

from django.db import transaction

from clubapp.games import queries
from clubapp.games.models import Draw, Entry, Term


@transaction.atomic
def erase_child(athlete_id: UUID) -> None:
    """In each game the child becomes somebody nobody knows, another one in each, so that places of others stay."""
    for term in queries.holding(Term.objects.all(), athlete_id):
        term.teams = [[child for child in team if child != str(athlete_id)] for team in term.teams]
        term.save(update_fields=["teams"])
    stranger: dict[UUID, str] = defaultdict(lambda: str(uuid.uuid4()))
    for row in queries.holding(Draw.objects.all(), athlete_id):
        for name in ("problem", "answer", "proof"):
            setattr(row, name, _free_of(athlete_id, getattr(row, name), stranger[row.game_id]))
        row.save(update_fields=["problem", "answer", "proof"])
    for row in queries.holding(Entry.objects.all(), athlete_id):
        row.data = _free_of(athlete_id, row.data, stranger[row.game_id])
        row.save(update_fields=["data"])


def _free_of(athlete_id: UUID, stored: object, instead: str) -> object:
    return json.loads(json.dumps(stored).replace(str(athlete_id), instead))
