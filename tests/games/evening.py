"""An evening of games: children marked here, some timed over 40 m, and the pages' buttons."""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta
from typing import Any

from django.test import Client
from django.urls import reverse
from django.utils import timezone

from clubapp.games import queries
from clubapp.games.actions import Order, Saying, enter, make_game
from clubapp.games.kinds import known_kind
from clubapp.games.models import Game
from clubapp.games.state import GameView
from clubapp.people.models import Athlete, User
from clubapp.planning.models import Session
from clubapp.register.actions import Tap
from clubapp.register.models import Mark
from clubapp.results.models import Result, Trial
from tests.cast import Cast, make_child

SPRINT = "sprint-40-m"
HEATS: dict[str, Any] = {
    "test": SPRINT,
    "lanes": 4,
    "mode": "even",
    "draw": "lot",
    "after": "for all",
    "apart": False,
}


def mark(session: Session, child: Athlete, kind: str = "here", **more: Any) -> Mark:
    return Mark.objects.create(session=session, athlete=child, kind=kind, tapped_at=timezone.now(), **more)


def sprint(cast: Cast) -> Trial:
    return Trial.objects.get_or_create(club=cast.club, code=SPRINT, defaults={"name": "Sprint 40 m", "distance": 40})[0]


def ran(cast: Cast, child: Athlete, ms: int, days_ago: int = 30) -> Result:
    at: datetime = timezone.now() - timedelta(days=days_ago)
    return Result.objects.create(
        trial=sprint(cast), athlete=child, on=at.date(), value_ms=ms, tapped_at=at, timing="hand"
    )


def everybody_here(cast: Cast, children: int = 6, *, timed: bool = True) -> list[Athlete]:
    """The cast and more children, marked here; each has two times, so that noise and child can be told apart."""
    more = [make_child(cast.club, cast.squad, f"Kit{number}") for number in range(children - len(cast.athletes))]
    everybody = [*cast.athletes[:children], *more]
    for place, child in enumerate(everybody):
        mark(cast.session, child)
        if timed:
            for days in (60, 30):
                ran(cast, child, 6000 + 150 * (place * 7 % 11) + days, days)
    return everybody


def made(cast: Cast, kind: str = "heats", children: list[Athlete] | None = None, seed: int = 1, **wishes: Any) -> Game:
    """A game of everybody who is here, or of some."""
    from clubapp.games.present import present_of

    known, present = known_kind(kind), present_of(cast.session)
    chosen = frozenset(child.pk for child in children) if children is not None else frozenset(present.unasked)
    base = HEATS if kind == "heats" else known.defaults(present)
    return make_game(order=Order(cast.session, cast.hazel, known, chosen, {**base, **wishes}, seed))


def view(game: Game) -> GameView:
    return queries.view_of(Game.objects.select_related("session__club").get(pk=game.pk))


def say(game: Game, what: str, by: User, part: int = 0, **data: Any) -> dict[str, Any]:
    """Something entered in the round that is on."""
    saying = Saying(what, view(game).draw.round, part, data)
    return enter(game=game, saying=saying, tap=Tap(by=by, op_id=uuid.uuid4(), device=str(by.pk)))


def heats_of(game: Game) -> list[list[str]]:
    """Ids by lane, heat by heat, of the round that is on."""
    return [[child for _lane, child in heat] for heat in view(game).draw.answer["heats"]]


def run_heat(game: Game, part: int, by: User, *, timed: bool = True, quick: bool = False) -> list[str]:
    """The children of a heat come in as they stand in the draw, a tenth apart; answers with that order."""
    order = heats_of(game)[part - 1]
    places = {child: at + 1 for at, child in enumerate(order)}
    start = 6000 if quick else 6000 + 10 * part
    times = {child: start + 100 * at for at, child in enumerate(order)} if timed else {}
    say(game, "finish", by, part, places=places, times=times)
    return order


def address(game: Game, action: str = "game") -> str:
    return reverse(f"games:{action}", args=[game.session_id, game.pk])


def post(client: Client, game: Game, action: str, **fields: Any) -> Any:
    return client.post(address(game, action), fields)


def names(children: list[str]) -> list[str]:
    return [Athlete.objects.get(pk=child).first_name for child in children]
