"""Rounds of heats: which are still to run, who goes through, and the finals."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from django.utils.translation import gettext as _

from clubapp.engine import heats as engine_heats
from clubapp.engine import limits
from clubapp.games import bridge
from clubapp.games.state import GameView, Made, Task
from clubapp.games.trouble import RefusedError

FINISH = "finish"
FOR_ALL, BEST, NOTHING = "for all", "best", "nothing"
State = engine_heats.State


def still_to_run(view: GameView) -> list[int]:
    """Heats of the round that is on which nobody has entered yet, counted from 0."""
    count = len(view.draw.answer["heats"])
    return [at for at in range(count) if view.last(FINISH, view.draw.round, at + 1) is None]


def finish_of(view: GameView, round_no: int, part: int) -> list[engine_heats.Finish]:
    """How a heat came in, as last entered; empty while nobody has entered it."""
    draw = next(one for one in view.draws if one.round == round_no)
    said = view.last(FINISH, round_no, part)
    if said is None:
        return []
    return bridge.finishes(said.data, [child for _lane, child in draw.answer["heats"][part - 1]])


def is_last(view: GameView) -> bool:
    """Finals have no round after them, and one heat alone is a final."""
    return view.wishes["after"] == NOTHING or view.draw.answer.get("final", False) or len(_heats(view)) == 1


def _heats(view: GameView) -> list[Any]:
    heats: list[Any] = view.draw.answer["heats"]
    return heats


def next_round(view: GameView, task: Task) -> Made:
    """Drawn from how this round came in."""
    if is_last(view):
        raise RefusedError(_("There is no round after this one."))
    missing = still_to_run(view)
    if missing:
        raise RefusedError(_("Heat %(n)d has not been entered yet.") % {"n": missing[0] + 1})
    entered = [finish_of(view, view.draw.round, part + 1) for part in range(len(_heats(view)))]
    if view.wishes["after"] == FOR_ALL:
        return _finals(view, task, entered)
    return _best(view, task, entered)


def rule_of(heats: int, lanes: int) -> engine_heats.Rule:
    """As many places of each heat as the next round has lanes for, the rest by time."""
    size = lanes * -(-heats // lanes)
    return engine_heats.Rule(size // heats, size % heats, lanes=size)


def _best(view: GameView, task: Task, entered: list[list[engine_heats.Finish]]) -> Made:
    problem, lanes = view.draw.problem, view.draw.problem["lanes"]
    rule = rule_of(len(entered), lanes)
    found = engine_heats.advance(entered, rule, one_clock=_one_clock(view, entered), seed=task.seed)
    if len(found.ranked) < 2:
        raise RefusedError(_("Fewer than two children go through: this was the last round."))
    new = _problem(problem, found.ranked)
    new["ranked"] = True
    outcome = engine_heats.solve(bridge.heats_problem(new, found.ranked), limit=limits.QUICK, seed=task.seed)
    if outcome.answer is None:  # pairs who race on merit may meet
        new["apart"] = []
        outcome = engine_heats.solve(bridge.heats_problem(new, found.ranked), limit=limits.QUICK, seed=task.seed)
    assert outcome.answer is not None
    heats = bridge.stored_heats(outcome.answer)
    proof = {"notes": list(found.notes), "level": list(found.level), "by_time": list(found.by_time)}
    return Made(new, {"heats": heats, "final": len(heats) == 1}, proof)


def _finals(view: GameView, task: Task, entered: list[list[engine_heats.Finish]]) -> Made:
    """Everybody who ran races once more, with those of like places; the slower finals run first."""
    problem, lanes = view.draw.problem, view.draw.problem["lanes"]
    everybody = engine_heats.Rule(max(len(heat) for heat in entered))
    ranked = list(engine_heats.advance(entered, everybody, seed=task.seed).ranked)
    fell = [one.id for heat in entered for one in heat if one.state in (State.NOT_FINISHED, State.DISQUALIFIED)]
    ranked += sorted(fell)
    if len(ranked) < 2:
        raise RefusedError(_("Fewer than two children ran: this was the last round."))
    lot, heats = random.Random(f"finals {task.seed}"), []
    for final in reversed(engine_heats.finals(ranked, lanes)):
        alone = bridge.heats_problem({**problem, "apart": [], "ranked": True}, final)
        places = engine_heats.solve(replace(alone, heats=1), seed=lot.randrange(2**31)).answer
        assert places is not None  # one heat, no pairs
        heats += bridge.stored_heats(places)
    return Made(_problem(problem, ranked), {"heats": heats, "final": True}, {})


def _problem(problem: Mapping[str, Any], ranked: list[str] | tuple[str, ...]) -> dict[str, Any]:
    """children: in the order in which they go through."""
    return {
        **problem,
        "children": list(ranked),
        "likely": {child: problem["likely"][child] for child in ranked},
        "apart": [pair for pair in problem["apart"] if set(pair) <= set(ranked)],
    }


def _one_clock(view: GameView, entered: list[list[engine_heats.Finish]]) -> bool:
    """Times of heats can be held against each other only where everybody has one, by hand or by none of them."""
    home = [one for heat in entered for one in heat if one.state is State.FINISHED]
    ways = set()
    for part in range(len(entered)):
        said = view.last(FINISH, view.draw.round, part + 1)
        watch = said.data.get("watch", {}) if said else {}
        ways |= {watch.get(one.id) or "hand" for one in entered[part] if one.ms is not None}
    return len(ways) == 1 and all(one.ms is not None for one in home)
