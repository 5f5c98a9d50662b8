"""Small-sided games and wall games: equal teams, who plays whom on which pitch, and how teams stand."""

from __future__ import annotations

import random
from functools import partial
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from clubapp.engine import groups as engine_groups
from clubapp.engine import league as engine_league
from clubapp.engine import limits
from clubapp.games import bridge, leagues_shown
from clubapp.games.leagues_bridge import apart_s, fixtures_problem, groups_problem, stored_slots
from clubapp.games.likely import best_known, likely
from clubapp.games.present import Present
from clubapp.games.state import GameView, Kind, Made, Said, Task
from clubapp.games.trouble import RefusedError

SMALL, WALL = "small", "wall"
SCORE = leagues_shown.SCORE
TEAMS, PAIRS = engine_league.Kind.TEAMS, engine_league.Kind.PAIRS
MOST_TEAMS = engine_league.PLAYERS[TEAMS][-1]
SIZE = {SMALL: 4, WALL: 2}  # children a team where nothing else was said


def defaults(code: str, present: Present) -> dict[str, Any]:
    """Teams of about four, at the wall of two; as many pitches as keep nearly everybody playing."""
    teams = min(MOST_TEAMS, max(2, round(len(present.unasked) / SIZE[code])))
    return {
        "how": TEAMS.value,
        "teams": teams,
        "pitches": max(1, teams // 2),
        "minutes": 20,
        "each": 4 if code == SMALL else 3,
        "ends": "clock" if code == SMALL else "first",
        "goals": 5 if code == SMALL else 7,
        "lead": 1 if code == SMALL else 2,
        "again": False,
        "apart": False,
    }


def make(task: Task) -> Made:
    session, ids = task.present.session, [str(child) for child in task.children]
    found = likely(session, task.children, best_known(session, task.children))
    apart = [sorted(map(str, pair)) for pair in task.present.apart] if task.wishes.get("apart") else []
    asked = ("how", "teams", "pitches", "ends", "goals", "lead", "again", "each", "minutes")
    problem: dict[str, Any] = {
        **bridge.stored_likely(found, task.children),
        **{name: task.wishes[name] for name in asked},
        "apart": [pair for pair in apart if set(pair) <= set(ids)],
    }
    sides = _teams(problem, ids, task) if problem["how"] == TEAMS else _places(problem, ids, task)
    answer = _fixtures(problem, sides, task.seed)
    proof = {"apart_s": apart_s(problem, sides)} if problem["how"] == TEAMS else {}
    return Made(problem, {"sides": sides, "slots": stored_slots(answer)}, proof)


def _teams(problem: dict[str, Any], ids: list[str], task: Task) -> list[list[str]]:
    """Which team is which comes by lot, so that no number and no colour goes by ability."""
    if problem["teams"] > len(ids):
        raise RefusedError(_("There are more teams than children: take fewer teams."))
    asked = groups_problem(problem, ids, task.present.session.date)
    outcome = engine_groups.solve(asked, limit=limits.QUICK, seed=task.seed)
    if outcome.answer is None:
        raise RefusedError(
            _("Not every pair can be kept apart in so many teams: take more teams, or let them play together.")
        )
    sides = [list(side) for side in outcome.answer.groups]
    random.Random(f"sides {task.seed}").shuffle(sides)
    return sides


def _places(problem: dict[str, Any], ids: list[str], task: Task) -> list[list[str]]:
    """Two against two, the partner changes: there are tables for fours. Who is over shares a place, turn about."""
    fits = [places for places in engine_league.PLAYERS[PAIRS] if places <= len(ids)]
    if not fits:
        raise RefusedError(_("Two against two with a new partner each time needs at least four children."))
    if problem["apart"]:
        raise RefusedError(_("There everybody plays with everybody once: pairs cannot be kept apart. Take teams."))
    problem["again"] = False
    lot = sorted(ids)
    random.Random(f"places {task.seed}").shuffle(lot)
    return [lot[at :: fits[-1]] for at in range(fits[-1])]


def _fixtures(problem: dict[str, Any], sides: list[list[str]], seed: int) -> engine_league.Answer:
    """The whole table, or as much of it as there is time for."""
    numbers, time_for = [str(at + 1) for at in range(len(sides))], max(1, problem["minutes"] // problem["each"])
    problem["slots"] = None
    whole = engine_league.solve(fixtures_problem(problem, numbers), seed=seed).answer
    assert whole is not None
    problem["whole"] = len(whole.slots)
    if len(whole.slots) <= time_for:
        return whole
    problem["slots"] = time_for
    part = engine_league.solve(fixtures_problem(problem, numbers), seed=seed).answer
    assert part is not None
    return part


def _changed(view: GameView, task: Task, problem: dict[str, Any], sides: list[list[str]]) -> Made:
    """The same games by other children."""
    ids = [str(child) for child in task.children]
    kept = {**problem, "children": ids, "likely": {child: problem["likely"][child] for child in ids}}
    proof = {"apart_s": apart_s(kept, sides)} if kept["how"] == TEAMS else {}
    return Made(kept, {**view.draw.answer, "sides": sides}, proof)


def fit(view: GameView, task: Task, child: UUID) -> Made:
    """Nobody changes teams and no game moves: into a smallest team, of these where it keeps the teams most equal."""
    old, late = view.draw.problem, str(child)
    found = bridge.stored_likely(likely(task.present.session, [child], old["test"]), [child])
    problem = {**old, "likely": {**old["likely"], **found["likely"]}}
    sides = [list(side) for side in view.draw.answer["sides"]]
    fewest = min(map(len, sides))
    ways = [_with(sides, at, late) for at, side in enumerate(sides) if len(side) == fewest]
    kept = [way for way in ways if not _clash(problem["apart"], way, late)] or ways
    best = min(kept, key=lambda way: apart_s(problem, way)) if problem["how"] == TEAMS else kept[0]
    return _changed(view, task, problem, best)


def _with(sides: list[list[str]], at: int, child: str) -> list[list[str]]:
    return [[*side, child] if place == at else list(side) for place, side in enumerate(sides)]


def _clash(apart: list[list[str]], sides: list[list[str]], child: str) -> bool:
    own = next(set(side) for side in sides if child in side)
    return any(child in pair and set(pair) <= own for pair in apart)


def out(view: GameView, task: Task, child: UUID) -> Made:
    """Its team plays on without it. Of two who share a place one fills it; else an adult steps in."""
    sides = [[one for one in side if one != str(child)] for side in view.draw.answer["sides"]]
    empty = next((side for side in sides if not side), None)
    if empty is not None and view.draw.problem["how"] == TEAMS:
        raise RefusedError(_("That team would be empty: make a new game."))
    most = max(sides, key=len)
    if empty is not None and len(most) > 1:
        empty.append(most.pop())
    return _changed(view, task, dict(view.draw.problem), sides)


def take(view: GameView, said: Said) -> dict[str, Any]:
    """A score, or that the game was not played. One that waited for a network counts, whoever was fitted in since."""
    if said.what != SCORE or not 1 <= said.part <= leagues_shown.count(view.draw):
        raise RefusedError(_("There is no such game: look again."))
    return {"goals": said.data.get("goals")}


def _kind(code: str, name: Any, about: Any) -> Kind:
    return Kind(
        code=code,
        name=name,
        about=about,
        template="games/leagues.html",
        defaults=partial(defaults, code),
        make=make,
        show=leagues_shown.show,
        take=take,
        fit=fit,
        out=out,
        teams=leagues_shown.teams,
        own=leagues_shown.own,
        entering=leagues_shown.entering,
        standing=leagues_shown.standing,
        sums=leagues_shown.team_sums,
        counted=("teams", "pitches"),
        least=4,
    )


SMALL_SIDED = _kind(SMALL, _l("Small-sided games"), _l("Equal teams, everybody against everybody."))
WALL_GAMES = _kind(WALL, _l("Wall games"), _l("Two against two at the wall or net, first to so many."))
LEAGUES = (SMALL_SIDED, WALL_GAMES)
