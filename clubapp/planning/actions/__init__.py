"""Every write of planning."""

from __future__ import annotations

from clubapp.planning.actions.blocks import add_block, change_block_minutes, move_block, remove_block
from clubapp.planning.actions.messages import write_message
from clubapp.planning.actions.reviews import Lines, write_review
from clubapp.planning.actions.sessions import (
    SessionDetails,
    call_off_session,
    change_session,
    confirm_notice,
    copy_session,
    hand_over,
    make_session,
    remove_session,
)
from clubapp.planning.actions.stations import (
    StationDetails,
    add_starter,
    add_station,
    change_station,
    move_station,
    remove_station,
)
from clubapp.planning.actions.trouble import PlanError

__all__ = [
    "Lines",
    "PlanError",
    "SessionDetails",
    "StationDetails",
    "add_block",
    "add_starter",
    "add_station",
    "call_off_session",
    "change_block_minutes",
    "change_session",
    "change_station",
    "confirm_notice",
    "copy_session",
    "hand_over",
    "make_session",
    "move_block",
    "move_station",
    "remove_block",
    "remove_session",
    "remove_station",
    "write_message",
    "write_review",
]
