"""The only door to games: whoever works in the session sees and enters them, who runs it makes them.

An ordered list of single children, likely times and chances are the head coach's alone.
"""

from __future__ import annotations

from uuid import UUID

from django.db.models import Q
from django.http import Http404
from django.shortcuts import get_object_or_404

from clubapp.games.models import Game
from clubapp.people.access import Person, is_head_coach
from clubapp.people.models import Membership, Role, Squad
from clubapp.planning.access import led_session_for, may_edit, session_for, visible_to
from clubapp.planning.models import Session

__all__ = [
    "coached_squad",
    "game_for",
    "led_game_for",
    "led_session_for",
    "may_make",
    "may_rank",
    "may_rank_squad",
    "ranked_game_for",
    "session_for",
    "squad_for",
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


def squad_for(user: Person, squad_id: UUID) -> Squad:
    """A squad this adult works with, or 404."""
    if not user.is_authenticated:
        raise Http404
    mine = Membership.objects.filter(user=user)
    coached = Q(club__in=mine.filter(role=Role.HEAD_COACH).values("club"))
    assisted = Q(pk__in=mine.filter(role=Role.ASSISTANT).values("squads"))
    return get_object_or_404(Squad.objects.filter(coached | assisted).select_related("club"), pk=squad_id)


def may_rank_squad(user: Person, squad: Squad) -> bool:
    return is_head_coach(user, squad.club_id)


def coached_squad(user: Person, squad_id: UUID) -> Squad:
    """A squad of the club this adult is head coach of, or 404."""
    squad = squad_for(user, squad_id)
    if not may_rank_squad(user, squad):
        raise Http404
    return squad


def _game(session: Session, game_id: UUID) -> Game:
    """One that was taken away is not there any more."""
    rows = Game.objects.filter(session=session).exclude(state=Game.State.DROPPED)
    return get_object_or_404(rows.select_related("session__club", "session__squad", "by"), pk=game_id)
