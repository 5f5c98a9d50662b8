"""What a child's guardian reads of the games it was in: its own part and totals of teams, nobody else and no rank."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from uuid import UUID

from django.utils.functional import Promise

from clubapp.games import queries
from clubapp.games.kinds import known_kind
from clubapp.games.models import Game
from clubapp.games.present import Present, present_of

NEWEST = 8  # games; older ones are not told of


@dataclass(frozen=True)
class Told:
    """One game in sentences; none where its kind has nothing to tell yet."""

    name: Promise
    words: tuple[str, ...]


def told_of(child: UUID, session_ids: Iterable[UUID]) -> Mapping[UUID, tuple[Told, ...]]:
    """By session, the games that were begun and that the child was drawn into."""
    rows = Game.objects.filter(session__in=list(session_ids), state__in=(Game.State.RUNNING, Game.State.OVER))
    found: dict[UUID, tuple[Told, ...]] = {}
    known: dict[UUID, Present] = {}
    for game in rows.select_related("session__club").order_by("-session__date", "-number")[:NEWEST]:
        view, kind = queries.view_of(game), known_kind(game.kind)
        if child in view.children:
            present = known.get(game.session_id) or known.setdefault(game.session_id, present_of(game.session))
            words = kind.own(view, present, child) if kind.own else []
            found[game.session_id] = (Told(kind.name, tuple(words)), *found.get(game.session_id, ()))
    return found
