"""The pages of a running session."""

from __future__ import annotations

from clubapp.live.views.bell import bell, command, health, hold, open_room, state, station
from clubapp.live.views.gate import code, gate, let_in, passes_page, refuse, waiting

__all__ = [
    "bell",
    "code",
    "command",
    "gate",
    "health",
    "hold",
    "let_in",
    "open_room",
    "passes_page",
    "refuse",
    "state",
    "station",
    "waiting",
]
