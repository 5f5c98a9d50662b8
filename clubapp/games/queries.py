"""Reads over games."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.games.models import Draw, Entry, Game, Term
from clubapp.games.state import DrawView, GameView, Said
from clubapp.planning.models import Session

State = Game.State


def games_of(session_id: UUID) -> list[Game]:
    """In the order in which they were made, without those that were taken away."""
    return list(Game.objects.filter(session=session_id).exclude(state=State.DROPPED).order_by("number"))


def running(session_id: UUID) -> list[Game]:
    """What is being played now."""
    return [game for game in games_of(session_id) if game.state == State.RUNNING]


def last_asked(session: Session, kind: str) -> tuple[dict[str, Any], int]:
    """What the squad's last game of this kind was asked to be, and of how many children; of none, nothing."""
    rows = Game.objects.filter(session__squad=session.squad_id, kind=kind).exclude(state=State.DROPPED)
    last = rows.filter(session__date__lte=session.date).order_by("-made_at").first()
    first = Draw.objects.filter(game=last).order_by("version").first() if last else None
    return (dict(last.wishes), len(first.problem["children"])) if last and first else ({}, 0)


def played(session: Session, kind: str, limit: int = 20) -> list[tuple[date, GameView]]:
    """Games of a kind that the squad has begun, this session's among them, the newest first; each with its day."""
    rows = Game.objects.filter(session__squad=session.squad_id, session__date__lte=session.date, kind=kind)
    begun = rows.exclude(state__in=(State.DROPPED, State.READY)).select_related("session")
    return [(game.session.date, view_of(game)) for game in begun.order_by("-session__date", "-made_at")[:limit]]


def view_of(game: Game) -> GameView:
    """A game with its newest draw of each round and all that was entered."""
    draws = {row.round: _drawn(row) for row in Draw.objects.filter(game=game).order_by("version")}
    rows = Entry.objects.filter(game=game).select_related("by").order_by("tapped_at", "device", "op_id")
    return GameView(
        id=game.pk,
        session_id=game.session_id,
        number=game.number,
        kind=game.kind,
        wishes=game.wishes,
        state=game.state,
        draws=tuple(draws[turn] for turn in sorted(draws)),
        said=tuple(said_of(row) for row in rows),
    )


def _drawn(row: Draw) -> DrawView:
    return DrawView(row.round, row.version, row.problem, row.answer, row.proof, row.seed, row.why)


def said_of(row: Entry) -> Said:
    name = row.by.name if row.by else _("an adult who has left")
    return Said(row.what, row.round, row.part, row.data, row.by_id, name, row.tapped_at, row.op_id)


def export_child(athlete_id: UUID) -> list[dict[str, str]]:
    """In which games the child was, for whoever asks what is kept about it; never how it stood among others."""
    played: dict[Game, None] = {}
    for draw in holding(Draw.objects.select_related("game__session").order_by("made_at"), athlete_id):
        played.setdefault(draw.game)
    games = [{"session": str(game.session), "game": game.kind, "number": str(game.number)} for game in played]
    terms = holding(Term.objects.select_related("squad"), athlete_id)
    return [*games, *({"term": f"{term.begins} – {term.ends}", "squad": term.squad.name} for term in terms)]


def holding(rows: Iterable[Any], athlete_id: UUID) -> list[Any]:
    """The draws, entries or terms that name a child."""
    child = str(athlete_id)
    fields = ("problem", "answer", "proof", "data", "teams")
    return [row for row in rows if any(child in json.dumps(getattr(row, name, None)) for name in fields)]
