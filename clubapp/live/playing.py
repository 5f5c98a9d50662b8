"""Games that are being played: the strip on the bell's pages, and the turns of a game by the bell."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _

from clubapp.engine import clock
from clubapp.games import queries
from clubapp.games.kinds import known_kind
from clubapp.games.models import Game
from clubapp.games.present import present_of
from clubapp.games.state import GameView
from clubapp.live import bridge
from clubapp.live.access import Watcher
from clubapp.live.messages import now_ms
from clubapp.live.queries import log_of

STILL = (clock.Phase.PAUSED, clock.Phase.STOPPED)


def games_on(watcher: Watcher, page_of: Game | None = None) -> list[dict[str, Any]]:
    """To an adult with an account a way to the game; to a helper who is in which team or heat, in no order of speed.

    page_of: the game whose page this is, which may still be to begin.
    """
    if not watcher.inside:
        return []
    to_begin = [page_of] if page_of is not None and page_of.state == Game.State.READY else []
    return [_strip(watcher, game) for game in [*to_begin, *queries.running(watcher.session.pk)]]


def _strip(watcher: Watcher, game: Game) -> dict[str, Any]:
    kind, row = known_kind(game.kind), {"id": game.pk, "name": known_kind(game.kind).name}
    row["tally"] = kind.tally is not None
    if watcher.user is not None and kind.turns is None:
        return row
    view = queries.view_of(game)
    present = present_of(watcher.session, view.children)
    if watcher.user is None and kind.teams is not None:
        row["teams"] = kind.teams(view, present)
    if kind.turns is not None:
        turns = kind.turns(view, present)
        row |= {"told": json.dumps(_told(game, turns)), "chasers": turns["names"]}
    return row


def _told(game: Game, turns: dict[str, Any]) -> dict[str, Any]:
    """For the script. began_ms: None while nobody began it here. lost_ms: how long play stood still between then and
    as_of_ms. enter: where its taps go, which is what a phone without a network knows it by.
    """
    now = round(now_ms())
    began = round(game.began_at.timestamp() * 1000) if game.began_at else None
    words = {
        "ready": _("Not begun yet"),
        "turn": _("Turn %s of %s"),
        "rest": _("Breathe. Next is turn %s of %s"),
        "over": _("All turns are played."),
        "who": _("Chasing: %s"),
        "nobody": _("Nobody chases: an adult does."),
    }
    return {
        **turns,
        "game": str(game.pk),
        "enter": reverse("games:enter", args=[game.session_id, game.pk]),
        "began_ms": began,
        "as_of_ms": now,
        "lost_ms": _lost(game, began, now) if began is not None else 0,
        "words": words,
    }


def _lost(game: Game, began_ms: int, now_ms: int) -> int:
    return stood_still([bridge.command_of(row) for row in log_of(game.session_id)], began_ms, now_ms)


def stood_still(commands: Iterable[clock.Command], since_ms: int, now_ms: int) -> int:
    """Milliseconds between two instants in which the bell was paused or everybody was stopped."""
    state, at, lost = clock.State(), since_ms, 0
    for command in commands:
        if state.phase in STILL:
            lost += max(0, min(command.at_ms, now_ms) - at)
        state, at = clock.step(state, command, command.at_ms).state, max(at, command.at_ms)
    return lost + (max(0, now_ms - at) if state.phase in STILL else 0)


def tally_words(view: GameView) -> str:
    """Every sentence of the script that counts touches."""
    words = {
        "touched": _("%s touched %s"),
        "out": _("%s was touched"),
        "undone": _("Taken back: %s"),
        "lost": _("This phone can keep nothing: tap on another one."),
        "refused": _("Not taken: %s"),
        "back": _("%s is back in by now."),
        "tapped": _("Tapped on this phone: %s"),
        "undo": _("Undo"),
        "back_s": view.draw.answer.get("back_s"),
    }
    return json.dumps(words)
