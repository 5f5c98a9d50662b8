"""Every write of a running session."""

from __future__ import annotations

from clubapp.live.actions.gate import come_to_gate, let_in, make_pass, refuse, revoke
from clubapp.live.actions.room import Answer, Order, RefusedError, give_command, hold_station, open_room

__all__ = [
    "Answer",
    "Order",
    "RefusedError",
    "come_to_gate",
    "give_command",
    "hold_station",
    "let_in",
    "make_pass",
    "open_room",
    "refuse",
    "revoke",
]
