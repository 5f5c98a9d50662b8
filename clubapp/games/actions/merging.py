"""Two records of one child in the games."""

from __future__ import annotations

import json
import uuid
from contextlib import suppress
from uuid import UUID

from django.db import transaction

from clubapp.games import queries
from clubapp.games.actions.erasing import erase_child
from clubapp.games.actions.making import take_out
from clubapp.games.models import Draw, Entry, Game, Term
from clubapp.games.trouble import RefusedError


@transaction.atomic
def merge_child(stays: UUID, double: UUID) -> None:
    """The child takes the double's place. In a game that holds both it has the place in which something was entered,
    and the other one is nobody's: it goes out of a game that is still on, and moves nobody in one that is over.
    In a term's teams the child takes the double's place unless it has one.
    """
    both = set(_games(stays)) & set(_games(double))
    for game in Game.objects.filter(pk__in=both).order_by("pk"):
        _make_one(game, stays, double)
    for row in queries.holding(Draw.objects.all(), double):
        _replace(row, ("problem", "answer", "proof"), double, stays)
    for row in queries.holding(Entry.objects.all(), double):
        _replace(row, ("data",), double, stays)
    for term in queries.holding(Term.objects.all(), double):
        if term.squad_id not in {one.squad_id for one in queries.holding(Term.objects.all(), stays)}:
            _replace(term, ("teams",), double, stays)
    erase_child(double)


def _make_one(game: Game, stays: UUID, double: UUID) -> None:
    """Of the two places in one game one becomes nobody's: the one in which nothing was entered, else the double's."""
    entries, nobody = Entry.objects.filter(game=game), uuid.uuid4()
    ran = {child for child in (stays, double) if queries.holding(entries, child)}
    empty = stays if ran == {double} else double
    for row in queries.holding(Draw.objects.filter(game=game), empty):
        _replace(row, ("problem", "answer", "proof"), empty, nobody)
    for row in queries.holding(entries, empty):
        _replace(row, ("data",), empty, nobody)
    if game.state in (Game.State.READY, Game.State.RUNNING):
        with suppress(RefusedError):  # the place of a heat that has run, or of a game that needs everybody, stays
            take_out(game=game, athlete_id=nobody, by=None)


def _replace(row: Draw | Entry | Term, names: tuple[str, ...], gone: UUID, instead: UUID) -> None:
    for name in names:
        setattr(row, name, json.loads(json.dumps(getattr(row, name)).replace(str(gone), str(instead))))
    row.save(update_fields=names)


def _games(child: UUID) -> list[UUID]:
    rows = [*queries.holding(Draw.objects.all(), child), *queries.holding(Entry.objects.all(), child)]
    return [row.game_id for row in rows]
