"""Every kind of game there is. A new kind is a module that makes a `Kind`, named here and in `forms`."""

from __future__ import annotations

from clubapp.games.chasing import CHASING
from clubapp.games.handicaps import HANDICAPS
from clubapp.games.heats import HEATS
from clubapp.games.leagues import LEAGUES
from clubapp.games.relays import RELAYS
from clubapp.games.state import Kind
from clubapp.games.stopgo import STOP_GO

ALL: tuple[Kind, ...] = (HEATS, HANDICAPS, RELAYS, *CHASING, STOP_GO, *LEAGUES)


def kind_of(code: str) -> Kind | None:
    return next((kind for kind in ALL if kind.code == code), None)


def known_kind(code: str) -> Kind:
    """Of a stored game; a kind that a later release gave up would be a fault of ours."""
    kind = kind_of(code)
    if kind is None:
        raise LookupError(f"no such kind of game: {code}")
    return kind
