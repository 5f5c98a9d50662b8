"""Heats: who races whom in which lane, the order they came in, and the rounds that follow."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from clubapp.engine import heats as engine_heats
from clubapp.engine import limits
from clubapp.games import bridge, heats_asked, heats_rounds, heats_shown
from clubapp.games.likely import best_known, likely
from clubapp.games.present import Present
from clubapp.games.state import GameView, Kind, Made, Said, Task, Timed
from clubapp.games.trouble import RefusedError

FINISH = "finish"
MOST_LANES = 6


def defaults(present: Present) -> dict[str, Any]:
    """Six lanes where there are children for them, everybody in a heat as strong as the others, and finals for all."""
    return {
        "test": best_known(present.session, present.ids),
        "lanes": max(2, min(MOST_LANES, len(present.unasked))),
        "mode": str(engine_heats.Mode.EVEN),
        "draw": str(engine_heats.LaneDraw.LOT),
        "after": heats_rounds.FOR_ALL,
        "apart": False,
    }


def make(task: Task) -> Made:
    wishes, ids = task.wishes, [str(child) for child in task.children]
    apart = [sorted(map(str, pair)) for pair in task.present.apart] if wishes.get("apart") else []
    found = likely(task.present.session, task.children, wishes["test"])
    problem = {
        **bridge.stored_likely(found, task.children),
        "apart": [pair for pair in apart if set(pair) <= set(ids)],
        **{name: wishes[name] for name in ("lanes", "mode", "draw")},
    }
    asked = bridge.heats_problem(problem, ids)
    outcome = engine_heats.solve(asked, limit=limits.QUICK, seed=task.seed)
    if outcome.answer is None:
        raise RefusedError(_("Not every pair can be kept apart in so many heats: take fewer lanes, or let them race."))
    proof = {"score": outcome.score, "bound": outcome.bound, "status": str(outcome.status)}
    return Made(problem, {"heats": bridge.stored_heats(outcome.answer)}, proof)


def fit(view: GameView, task: Task, child: UUID) -> Made:
    """A free lane in the smallest heat that is still to run, the slowest of equals; else a new heat with one other."""
    problem, heats = _with(view, task, child)
    lanes = problem["lanes"]
    still = heats_rounds.still_to_run(view)
    if not still:
        raise RefusedError(_("Every heat of this round has run: the child can be in the next round or game."))
    free = [at for at in still if len(heats[at]) < lanes]
    if free:
        at = min(free, key=lambda one: (len(heats[one]), -_mean(problem, heats[one]), one))
        heats[at] = _seated(heats[at], str(child), lanes)
    else:
        donor = max(still, key=lambda one: (len(heats[one]), one))
        slowest = max(heats[donor], key=lambda row: problem["likely"][row[1]][0])
        heats[donor] = [row for row in heats[donor] if row != slowest]
        heats.append([[1, str(child)], [2, slowest[1]]])
    return Made(problem, {**view.draw.answer, "heats": heats}, {})


def out(view: GameView, task: Task, child: UUID) -> Made:
    """Taken from a heat that is still to run; in one that has run there are words for it."""
    heats = [[row for row in heat if row[1] != str(child)] for heat in view.draw.answer["heats"]]
    changed = [at for at, heat in enumerate(view.draw.answer["heats"]) if heat != heats[at]]
    if not set(changed) <= set(heats_rounds.still_to_run(view)):
        raise RefusedError(_("That child's heat has run: write there what happened."))
    if any(not heat for heat in heats):
        raise RefusedError(_("That child is alone in a heat: write there that it did not start."))
    return Made(_stays(view.draw.problem, task), {**view.draw.answer, "heats": heats}, {})


def _with(view: GameView, task: Task, child: UUID) -> tuple[dict[str, Any], list[list[list[Any]]]]:
    """The problem with one more child, and a copy of the heats."""
    found = likely(task.present.session, [child], view.draw.problem["test"])
    more = bridge.stored_likely(found, [child])
    problem = _stays(view.draw.problem, task)
    problem["likely"] = {**problem["likely"], **more["likely"]}
    return problem, [[list(row) for row in heat] for heat in view.draw.answer["heats"]]


def _stays(problem: Mapping[str, Any], task: Task) -> dict[str, Any]:
    ids = [str(child) for child in task.children]
    kept = {child: row for child, row in problem["likely"].items() if child in ids}
    return {**problem, "children": ids, "likely": kept}


def _mean(problem: Mapping[str, Any], heat: Iterable[list[Any]]) -> float:
    rows = [bridge.runner(problem, child).ms for _lane, child in heat]
    return sum(rows) / len(rows)


def _seated(heat: list[list[Any]], child: str, lanes: int) -> list[list[Any]]:
    """The outermost lane that is free; nobody changes lanes."""
    taken = {lane for lane, _child in heat}
    lane = max(lane for lane in range(1, lanes + 1) if lane not in taken)
    return sorted([*heat, [lane, child]])


def take(view: GameView, said: Said) -> dict[str, Any]:
    """A heat's finish: places, times and what else happened, of children of that heat alone."""
    if said.what != FINISH:
        raise RefusedError(_("Tap how the heat came in."))
    if said.round != view.draw.round:
        raise RefusedError(_("The next round has been drawn: this one stays as it is."))
    heats = view.draw.answer["heats"]
    if not 1 <= said.part <= len(heats):
        raise RefusedError(_("There is no such heat any more: look again."))
    ids = {child for _lane, child in heats[said.part - 1]}
    parts = {name: said.data.get(name, {}) for name in ("places", "times", "states", "watch")}
    if any(set(part) - ids for part in parts.values()):
        raise RefusedError(_("Somebody runs in another heat now: look again."))
    if not any((parts["places"], parts["times"], parts["states"])):
        raise RefusedError(_("Tap the children as they come in, or write their times."))
    return parts


def times(view: GameView, said: Said) -> list[Timed]:
    """Typed times; what the stop-watch took is in the ledger already."""
    test, watch = view.wishes.get("test", ""), said.data.get("watch", {})
    return [
        Timed(UUID(child), test, ms)
        for child, ms in said.data.get("times", {}).items()
        if test and watch.get(child) is None
    ]


HEATS = Kind(
    code="heats",
    name=_l("Heats"),
    about=_l("Races in lanes, and finals from them."),
    template="games/heats.html",
    defaults=defaults,
    make=make,
    show=heats_shown.show,
    take=take,
    fit=fit,
    out=out,
    next=heats_rounds.next_round,
    times=times,
    doubts=heats_asked.doubts,
    teams=heats_shown.teams,
    own=heats_shown.own,
    entering=heats_shown.entering,
    standing=heats_shown.standing,
)
