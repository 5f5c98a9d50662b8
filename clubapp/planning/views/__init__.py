"""The planning pages."""

from __future__ import annotations

from clubapp.planning.views.menus import menu, menu_take
from clubapp.planning.views.messages import messages
from clubapp.planning.views.patterns import templates
from clubapp.planning.views.reviews import review
from clubapp.planning.views.series import series, term
from clubapp.planning.views.sessions import (
    blocks,
    call_off,
    session,
    session_copy,
    session_new,
    session_remove,
    sessions,
)
from clubapp.planning.views.stations import station, station_move, station_new, station_remove

__all__ = [
    "blocks",
    "call_off",
    "menu",
    "menu_take",
    "messages",
    "review",
    "series",
    "session",
    "session_copy",
    "session_new",
    "session_remove",
    "sessions",
    "station",
    "station_move",
    "station_new",
    "station_remove",
    "templates",
    "term",
]
