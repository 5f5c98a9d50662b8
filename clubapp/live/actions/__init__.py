"""Every write of a running session."""

from __future__ import annotations

from clubapp.live.actions.alarms import Hearing, call_help, hear
from clubapp.live.actions.away import Word, say_where
from clubapp.live.actions.counts import Count, count_heads
from clubapp.live.actions.gate import come_to_gate, let_in, make_pass, refuse, revoke
from clubapp.live.actions.incidents import (
    More,
    Note,
    add_to_incident,
    clear_child,
    erase_child,
    read_incidents,
    read_kept,
    withdraw_clearance,
    write_incident,
)
from clubapp.live.actions.merging import merge_child
from clubapp.live.actions.room import Answer, Order, RefusedError, give_command, hold_station, open_room
from clubapp.live.actions.stopwatch import Clocked, Timed, time_child, time_in_race
from clubapp.live.actions.taps import Sent

__all__ = [
    "Answer",
    "Clocked",
    "Count",
    "Hearing",
    "More",
    "Note",
    "Order",
    "RefusedError",
    "Sent",
    "Timed",
    "Word",
    "add_to_incident",
    "call_help",
    "clear_child",
    "come_to_gate",
    "count_heads",
    "erase_child",
    "give_command",
    "hear",
    "hold_station",
    "let_in",
    "make_pass",
    "merge_child",
    "open_room",
    "read_incidents",
    "read_kept",
    "refuse",
    "revoke",
    "say_where",
    "time_child",
    "time_in_race",
    "withdraw_clearance",
    "write_incident",
]
