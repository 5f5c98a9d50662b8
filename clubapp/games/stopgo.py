"""Stop-and-go games: all go at one signal and stand at the other; who moves goes back; first over the line."""

from __future__ import annotations

import math
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from clubapp.games import stopgo_shown
from clubapp.games.present import Present
from clubapp.games.state import GameView, Kind, Made, Said, Task
from clubapp.games.trouble import RefusedError

KIND, FINISH = stopgo_shown.KIND, stopgo_shown.FINISH
STEP_SHARE = 10  # whoever was first starts a tenth of the way further back the next time, whole metres
MOST_BACK = 2  # and never more than half of the way


def defaults(present: Present) -> dict[str, Any]:
    return {"metres": 20, "moved": "steps", "pace": "usual", "level": True}


def make(task: Task) -> Made:
    return Made({}, {"back": {}})


def next_run(view: GameView, task: Task) -> Made:
    """The same children. Where it is wished, whoever was first has further to go, so that others get their turn."""
    said = view.last(FINISH, view.draw.round, 1)
    if said is None:
        raise RefusedError(_("This run has not been entered yet."))
    back: dict[str, int] = dict(view.draw.answer["back"])
    metres = view.wishes["metres"]
    if view.wishes["level"]:
        for child in (child for child, place in said.data["places"].items() if place == 1):
            back[child] = min(back.get(child, 0) + math.ceil(metres / STEP_SHARE), metres // MOST_BACK)
    return Made({}, {"back": back})


def fit(view: GameView, task: Task, child: UUID) -> Made:
    """On the line with the others."""
    return Made({}, {"back": dict(view.draw.answer["back"])})


def out(view: GameView, task: Task, child: UUID) -> Made:
    return Made({}, {"back": {one: far for one, far in view.draw.answer["back"].items() if one != str(child)}})


def take(view: GameView, said: Said) -> dict[str, Any]:
    """Who came over the line in which order, and how often who moved."""
    if said.what != FINISH or said.part != 1 or said.round != view.draw.round:
        raise RefusedError(_("The next run has been drawn: this one stays as it is."))
    found = {name: dict(said.data.get(name, {})) for name in ("places", "states", "moved")}
    if any(set(part) - {str(child) for child in view.children} for part in found.values()):
        raise RefusedError(_("Somebody of them is not in this game: look again."))
    if not any(found.values()):
        raise RefusedError(_("Tap the children as they come over the line, or whoever moved."))
    return found


STOP_GO = Kind(
    code=KIND,
    name=_l("Stop and go"),
    about=_l("Go at one signal, stand at the other; first over the line."),
    template="games/stopgo.html",
    defaults=defaults,
    make=make,
    show=stopgo_shown.show,
    take=take,
    fit=fit,
    out=out,
    next=next_run,
    teams=stopgo_shown.teams,
    own=stopgo_shown.own,
    entering=stopgo_shown.entering,
    standing=stopgo_shown.standing,
)
