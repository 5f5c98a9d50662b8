"""The pages of a running session."""

from __future__ import annotations

from clubapp.live.views.bell import bell, command, health, hold, open_room, state, station
from clubapp.live.views.caller import caller_all, caller_at
from clubapp.live.views.counts import count, heard, help_here, rings, watch, where
from clubapp.live.views.entry import entry_choose, entry_fix, entry_list, value
from clubapp.live.views.game import game
from clubapp.live.views.gate import code, gate, let_in, passes_page, refuse, waiting
from clubapp.live.views.incidents import incident, incident_new, incidents, kept_incident, not_before
from clubapp.live.views.lead import lead, phones
from clubapp.live.views.repair import repair
from clubapp.live.views.repair import take as take_repair
from clubapp.live.views.repair import undo as undo_repair
from clubapp.live.views.stopwatch import result, stopwatch_all, stopwatch_at, times

__all__ = [
    "bell",
    "caller_all",
    "caller_at",
    "code",
    "command",
    "count",
    "entry_choose",
    "entry_fix",
    "entry_list",
    "game",
    "gate",
    "health",
    "heard",
    "help_here",
    "hold",
    "incident",
    "incident_new",
    "incidents",
    "kept_incident",
    "lead",
    "let_in",
    "not_before",
    "open_room",
    "passes_page",
    "phones",
    "refuse",
    "repair",
    "result",
    "rings",
    "state",
    "station",
    "stopwatch_all",
    "stopwatch_at",
    "take_repair",
    "times",
    "undo_repair",
    "value",
    "waiting",
    "watch",
    "where",
]
