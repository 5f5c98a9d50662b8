"""Games that are being played, for the strip on the bell's pages."""

from __future__ import annotations

from typing import Any

from clubapp.games import queries
from clubapp.games.kinds import known_kind
from clubapp.games.present import present_of
from clubapp.live.access import Watcher


def games_on(watcher: Watcher) -> list[dict[str, Any]]:
    """To an adult with an account a way to the game; to a helper who is in which team or heat, in no order of speed."""
    return [_strip(watcher, game) for game in queries.running(watcher.session.pk)] if watcher.inside else []


def _strip(watcher: Watcher, game: Any) -> dict[str, Any]:
    kind, teams = known_kind(game.kind), []
    if watcher.user is None and kind.teams is not None:
        view = queries.view_of(game)
        teams = kind.teams(view, present_of(watcher.session, view.children))
    return {"id": game.pk, "name": kind.name, "teams": teams}
