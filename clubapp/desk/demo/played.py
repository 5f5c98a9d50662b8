"""What was played on the last Saturday: heats with finals, a relay of two races, a handicap race, freeze, stop and go,
small-sided games. And a term with four teams."""

from __future__ import annotations

import uuid
from datetime import timedelta
from math import exp
from random import Random
from typing import Any

from clubapp.games import actions, queries
from clubapp.games.kinds import known_kind
from clubapp.games.models import Game
from clubapp.games.present import present_of
from clubapp.people.models import User
from clubapp.planning.models import Session
from clubapp.register.actions import Tap

SEED = 6
WEEK, TERM_TEAMS = timedelta(weeks=1), 4
AFTER_START = timedelta(minutes=40)
FORM = 0.02  # how much better or worse than likely somebody runs that day


class Field:
    """The squad on that field: games made and entered as the coach tapped them."""

    def __init__(self, session: Session, by: User) -> None:
        self.session, self.by, self.lot = session, by, Random("games of the demo")
        self.at = session.starts_at + AFTER_START

    def make(self, code: str, **wishes: Any) -> Game:
        kind, present = known_kind(code), present_of(self.session)
        wanted = {**kind.defaults(present), **wishes}
        order = actions.Order(self.session, self.by, kind, frozenset(present.unasked), wanted, SEED)
        return actions.make_game(order=order)

    def say(self, game: Game, what: str, part: int = 0, **data: Any) -> None:
        self.at += timedelta(minutes=1)
        saying = actions.Saying(what, queries.view_of(game).draw.round, part, data)
        actions.enter(game=game, saying=saying, tap=Tap(self.by, uuid.uuid4(), "demo", self.at))
        game.refresh_from_db()

    def run_s(self, likely: list[float]) -> float:
        """A run that day; likely: as a draw keeps it."""
        return exp(likely[0] + self.lot.gauss(0, FORM))


def play(session: Session, by: User) -> None:
    field = Field(session, by)
    _heats(field)
    _relay(field)
    _handicap(field)
    _freeze(field)
    _stop_and_go(field)
    _small_sided(field)
    wanted = actions.Wanted(session.date - 5 * WEEK, session.date + 7 * WEEK, TERM_TEAMS)
    actions.begin_term(squad=session.squad, wanted=wanted, by=by, seed=SEED)


def _heats(field: Field) -> None:
    game = field.make("heats")
    for _round in range(2):
        draw = queries.view_of(game).draw
        for part, heat in enumerate(draw.answer["heats"], start=1):
            home = sorted((child for _lane, child in heat), key=lambda one: field.run_s(draw.problem["likely"][one]))
            field.say(game, "finish", part, places={child: place for place, child in enumerate(home, start=1)})
        if not draw.answer.get("final"):
            actions.draw_next(game=game, by=field.by, seed=SEED)
    field.say(game, "end")


def _relay(field: Field) -> None:
    game = field.make("relays")
    for race in range(2):
        teams = len(queries.view_of(game).draw.answer["teams"])
        home = field.lot.sample(range(1, teams + 1), teams)
        field.say(game, "finish", 1, places={str(team): place for place, team in enumerate(home, start=1)})
        if race == 0:
            actions.draw_next(game=game, by=field.by, seed=SEED)
    field.say(game, "end")


def _handicap(field: Field) -> None:
    game = field.make("handicaps", how="metres")
    draw = queries.view_of(game).draw
    share = {child: 1 - mark / draw.problem["distance_mm"] for child, mark in draw.answer["marks"].items()}
    clock = {child: round(10 * share[child] * field.run_s(draw.problem["likely"][child])) * 100 for child in share}
    field.say(game, "finish", 1, times=clock)
    field.say(game, "end")


def _freeze(field: Field) -> None:
    """Two touches a turn in each part of the field, as an adult tapped them."""
    game = field.make("freeze")
    field.say(game, "begin")
    for part in queries.view_of(game).draw.answer["fields"]:
        for turn, chasers in enumerate(part["spells"], start=1):
            for whom in field.lot.sample([child for child in part["ids"] if child not in chasers], 2):
                field.say(game, "touch", turn, who=field.lot.choice(chasers), whom=whom)
    field.say(game, "end")


def _stop_and_go(field: Field) -> None:
    game = field.make("stopgo")
    for run in range(2):
        home = field.lot.sample(sorted(map(str, queries.view_of(game).draw.children)), 9)
        moved = dict.fromkeys(home[6:], 1)
        field.say(game, "finish", 1, places={child: at for at, child in enumerate(home[:6], start=1)}, moved=moved)
        if run == 0:
            actions.draw_next(game=game, by=field.by, seed=SEED)
    field.say(game, "end")


def _small_sided(field: Field) -> None:
    """All but the last turn, for which there was no time."""
    game = field.make("small")
    slots = queries.view_of(game).draw.answer["slots"]
    for part in range(1, 1 + sum(map(len, slots[:-1]))):
        field.say(game, "score", part, goals=[field.lot.randrange(4), field.lot.randrange(4)])
    field.say(game, "end")
