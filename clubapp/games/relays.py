"""Relays: teams that are as quick as each other, and who runs which leg."""

from __future__ import annotations

from collections import Counter
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from clubapp.engine import limits
from clubapp.engine import relay as engine_relay
from clubapp.games import bridge, queries, relays_shown
from clubapp.games.likely import best_known, likely
from clubapp.games.present import Present
from clubapp.games.state import GameView, Kind, Made, Said, Task
from clubapp.games.trouble import RefusedError

KIND, FINISH = "relays", relays_shown.FINISH
TEAM_OF = 6  # about so many a team where nothing else was said


def defaults(present: Present) -> dict[str, Any]:
    """Teams of about six, to and fro, over what most have been timed on."""
    return {
        "test": best_known(present.session, present.ids),
        "teams": max(2, round(len(present.unasked) / TEAM_OF)),
        "course": str(engine_relay.Kind.SHUTTLE),
        "order": str(engine_relay.Order.EVEN_LEGS),
        "leg_m": None,
        "apart": False,
    }


def make(task: Task) -> Made:
    wishes, ids = task.wishes, [str(child) for child in task.children]
    if wishes["teams"] > len(ids):
        raise RefusedError(_("There are more teams than children: take fewer teams."))
    found = likely(task.present.session, task.children, wishes["test"])
    apart = [sorted(map(str, pair)) for pair in task.present.apart] if wishes.get("apart") else []
    problem = {
        **bridge.stored_likely(found, task.children),
        "apart": [pair for pair in apart if set(pair) <= set(ids)],
        **_said_of(task),
        **{name: wishes[name] for name in ("teams", "course", "order", "leg_m")},
        "twice_before": twice_before(task.present, ids),
    }
    outcome = engine_relay.solve(bridge.relay_problem(problem, ids), limit=limits.QUICK, seed=task.seed)
    if outcome.answer is None:
        raise RefusedError(_why(outcome.reasons))
    proof = {"score": outcome.score, "bound": outcome.bound, "status": str(outcome.status)}
    return Made(problem, {"teams": [list(team) for team in outcome.answer.teams]}, proof)


def _said_of(task: Task) -> dict[str, Any]:
    """Who is here for the first time, and who goes easy: the latter never run twice."""
    chosen = set(task.children)
    return {
        "first_timers": sorted(map(str, task.present.first_timers & chosen)),
        "once": sorted(str(child) for child in task.present.easy if child in chosen),
    }


def _why(reasons: tuple[Any, ...]) -> str:
    if any(one.code == "once" for one in reasons):
        return _("Too few children may run twice: take another number of teams.")
    if any(one.code == "apart" for one in reasons):
        return _("Not every pair can be kept apart in so many teams: take more teams, or let them run together.")
    return _("So many teams cannot be made of these children: take fewer teams.")


def twice_before(present: Present, ids: list[str], but: UUID | None = None) -> dict[str, int]:
    """How often each has run twice in the squad's last relays, so that it goes round."""
    found = Counter(
        child
        for _day, view in queries.played(present.session, KIND)
        if view.id != but
        for child in bridge.relay_teams(view.draws[0].answer).twice
    )
    return {child: found[child] for child in ids if found[child]}


def _changed(view: GameView, task: Task) -> dict[str, Any]:
    if view.last(FINISH, view.draw.round, 1):
        raise RefusedError(_("This race has run: draw the next one first."))
    ids = [str(child) for child in task.children]
    old = view.draw.problem
    kept = {child: row for child, row in old["likely"].items() if child in ids}
    return {**old, **_said_of(task), "children": ids, "likely": kept}


def fit(view: GameView, task: Task, child: UUID) -> Made:
    """Nobody changes teams: the child takes the leg of somebody who runs twice, or its team has one more."""
    problem, late = _changed(view, task), str(child)
    found = likely(task.present.session, [child], view.draw.problem["test"])
    problem["likely"] |= bridge.stored_likely(found, [child])["likely"]
    asked = bridge.relay_problem(problem, problem["likely"])
    return _made(problem, engine_relay.joined(asked, bridge.relay_teams(view.draw.answer), late))


def out(view: GameView, task: Task, child: UUID) -> Made:
    """The others of its team run its legs."""
    problem = _changed(view, task)
    asked = bridge.relay_problem(problem, problem["likely"])
    return _made(problem, engine_relay.left(asked, bridge.relay_teams(view.draw.answer), str(child)))


def _made(problem: dict[str, Any], answer: engine_relay.Answer | None) -> Made:
    if answer is None:
        raise RefusedError(_("Somebody would have to run twice, and nobody there may: make the relay anew."))
    score = engine_relay.score(bridge.relay_problem(problem, problem["likely"]), answer)
    return Made(problem, {"teams": [list(team) for team in answer.teams]}, {"score": score})


def next_race(view: GameView, task: Task) -> Made:
    """The same teams once more; where legs go by lot or by leg the order is drawn anew."""
    if view.last(FINISH, view.draw.round, 1) is None:
        raise RefusedError(_("This race has not been entered yet."))
    return Made(dict(view.draw.problem), dict(view.draw.answer), dict(view.draw.proof))


def take(view: GameView, said: Said) -> dict[str, Any]:
    """Places, times and what else happened, by the number of the team."""
    if said.what != FINISH or said.part != 1 or said.round != view.draw.round:
        raise RefusedError(_("The next race has been drawn: this one stays as it is."))
    parts: dict[str, Any] = {name: said.data.get(name, {}) for name in ("places", "times", "states")}
    if any(set(part) - set(relays_shown.numbers(view.draw)) for part in parts.values()):
        raise RefusedError(_("There is no such team any more: look again."))
    if not any(parts.values()):
        raise RefusedError(_("Tap the teams as they come in, or write their times."))
    return parts


RELAYS = Kind(
    code=KIND,
    name=_l("Relay"),
    counted=("teams",),
    about=_l("Teams as quick as each other, leg by leg."),
    template="games/relays.html",
    defaults=defaults,
    make=make,
    show=relays_shown.show,
    take=take,
    fit=fit,
    out=out,
    next=next_race,
    teams=relays_shown.teams,
    own=relays_shown.own,
    entering=relays_shown.entering,
    standing=relays_shown.standing,
    sums=relays_shown.team_sums,
)
