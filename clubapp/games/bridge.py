"""Stored problems and answers ⇄ the engine's dataclasses. Children are their ids as text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any
from uuid import UUID

from clubapp.engine import handicap as engine_handicap
from clubapp.engine import heats as engine_heats
from clubapp.engine import relay as engine_relay
from clubapp.engine.ability import Prediction
from clubapp.engine.runners import Runner
from clubapp.games.likely import Likely


def stored_likely(found: Likely, children: Iterable[UUID]) -> dict[str, Any]:
    """What a problem keeps of predictions, so that its answer can be checked and made again."""
    rows = {str(child): found.of[child] for child in children}
    return {
        "likely": {child: [one.log_mean, one.log_sd, one.level_sd] for child, one in rows.items()},
        "new": sorted(str(child) for child in children if child in found.new),
        "test": found.test,
    }


def runner(problem: Mapping[str, Any], child: str) -> Runner:
    return Runner(child, Prediction(*problem["likely"][child]))


def runners(problem: Mapping[str, Any], children: Iterable[str]) -> tuple[Runner, ...]:
    return tuple(runner(problem, child) for child in children)


def pairs(problem: Mapping[str, Any], among: Iterable[str]) -> tuple[frozenset[str], ...]:
    """Those of the stored pairs whose children are both among these."""
    here = set(among)
    return tuple(frozenset(pair) for pair in problem.get("apart", ()) if set(pair) <= here)


def heats_problem(problem: Mapping[str, Any], children: Iterable[str]) -> engine_heats.Problem:
    """children: in rank order where the problem says that they stand so."""
    ids = list(children)
    return engine_heats.Problem(
        runners=runners(problem, ids),
        lanes=problem["lanes"],
        mode=engine_heats.Mode(problem["mode"]),
        apart=pairs(problem, ids),
        draw=engine_heats.LaneDraw(problem["draw"]),
        ranked=bool(problem.get("ranked")),
    )


def stored_heats(answer: engine_heats.Answer) -> list[list[list[Any]]]:
    return [[[lane, child] for lane, child in heat.places] for heat in answer.heats]


def finishes(data: Mapping[str, Any], children: Iterable[str]) -> list[engine_heats.Finish]:
    """What was entered of one heat; a child nobody said anything about is left out."""
    found = []
    for child in children:
        state = data.get("states", {}).get(child)
        place, ms = data.get("places", {}).get(child), data.get("times", {}).get(child)
        if state:
            found.append(engine_heats.Finish(child, None, engine_heats.State(state)))
        elif place is not None or ms is not None:
            found.append(engine_heats.Finish(child, ms, order=place))
    return found


def handicap_problem(problem: Mapping[str, Any], children: Iterable[str]) -> engine_handicap.Problem:
    return engine_handicap.Problem(
        runners=runners(problem, sorted(children)),
        how=engine_handicap.How(problem["how"]),
        aim=engine_handicap.Aim(problem["aim"]),
        step=problem["step"],
        distance_mm=problem["distance_mm"],
        new=frozenset(problem["new"]),
    )


def marks(answer: Mapping[str, Any]) -> engine_handicap.Answer:
    return engine_handicap.Answer(tuple(sorted(answer["marks"].items())))


def relay_problem(problem: Mapping[str, Any], children: Iterable[str]) -> engine_relay.Problem:
    ids = sorted(children)
    return engine_relay.Problem(
        runners=runners(problem, ids),
        teams=problem["teams"],
        kind=engine_relay.Kind(problem["course"]),
        order=engine_relay.Order(problem["order"]),
        apart=pairs(problem, ids),
        first_timers=frozenset(problem["first_timers"]) & frozenset(ids),
        once=frozenset(problem["once"]) & frozenset(ids),
        twice_before=problem["twice_before"],
    )


def relay_teams(answer: Mapping[str, Any]) -> engine_relay.Answer:
    return engine_relay.Answer(tuple(tuple(team) for team in answer["teams"]))
