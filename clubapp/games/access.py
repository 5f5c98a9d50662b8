"""The only door to games: whoever works in the session sees and enters them, who runs it makes them.

An ordered list of single children, likely times and chances are the head coach's alone.
"""

from __future__ import annotations

from uuid import UUID

from django.shortcuts import get_object_or_404

from clubapp.games.models import Game
from clubapp.people.access import Person, is_head_coach
from clubapp.planning.access import led_session_for, may_edit, session_for, visible_to
from clubapp.planning.models import Session

__all__ = [
    "game_for",
    "led_game_for",
    "led_session_for",
    "may_make",
    "may_rank",
    "ranked_game_for",
    "session_for",
    "visible_to",
]


def may_make(user: Person, session: Session) -> bool:
    """The head coach of the club, or the adult to whom this session was handed over."""
    return may_edit(user, session)


def may_rank(user: Person, session: Session) -> bool:
    """Who may see children in the order of their speed; not an assistant who leads for an evening."""
    return is_head_coach(user, session.club_id)


def game_for(user: Person, session_id: UUID, game_id: UUID) -> Game:
    """A game of a session this adult works in, or 404."""
    return _game(session_for(user, session_id), game_id)


def led_game_for(user: Person, session_id: UUID, game_id: UUID) -> Game:
    """A game of a session this adult runs, or 404."""
    return _game(led_session_for(user, session_id), game_id)


def ranked_game_for(user: Person, session_id: UUID, game_id: UUID) -> Game:
    """A game whose order of children this adult may see, or 404."""
    game = game_for(user, session_id, game_id)
    if not may_rank(user, game.session):
        return get_object_or_404(Game, pk=None)
    return game


def _game(session: Session, game_id: UUID) -> Game:
    """One that was taken away is not there any more."""
    rows = Game.objects.filter(session=session).exclude(state=Game.State.DROPPED)
    return get_object_or_404(rows.select_related("session__club", "session__squad", "by"), pk=game_id)
