"""Every write of planning."""

from __future__ import annotations

from clubapp.planning.actions.activities import (
    bring_in,
    change_activity,
    copy_activity,
    make_activity,
    put_away,
    restore_activity,
    star_activity,
)
from clubapp.planning.actions.blocks import add_block, change_block_minutes, move_block, remove_block
from clubapp.planning.actions.menus import Chosen, Whole, take_menu
from clubapp.planning.actions.messages import write_message
from clubapp.planning.actions.moving import move_session
from clubapp.planning.actions.patterns import copy_into, keep_template, remove_template, take_template
from clubapp.planning.actions.places import Stand, place_stations
from clubapp.planning.actions.reviews import Lines, write_review
from clubapp.planning.actions.series import Series, keep_holiday, make_series, remove_holiday
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
    add_activity,
    add_starter,
    add_station,
    change_station,
    move_station,
    remove_station,
)
from clubapp.planning.actions.trouble import PlanError
from clubapp.planning.actions.venues import VenueDetails, keep_kit, keep_venue, remove_venue

__all__ = [
    "Chosen",
    "Lines",
    "PlanError",
    "Series",
    "SessionDetails",
    "Stand",
    "StationDetails",
    "VenueDetails",
    "Whole",
    "add_activity",
    "add_block",
    "add_starter",
    "add_station",
    "bring_in",
    "call_off_session",
    "change_activity",
    "change_block_minutes",
    "change_session",
    "change_station",
    "confirm_notice",
    "copy_activity",
    "copy_into",
    "copy_session",
    "hand_over",
    "keep_holiday",
    "keep_kit",
    "keep_template",
    "keep_venue",
    "make_activity",
    "make_series",
    "make_session",
    "move_block",
    "move_session",
    "move_station",
    "place_stations",
    "put_away",
    "remove_block",
    "remove_holiday",
    "remove_session",
    "remove_station",
    "remove_template",
    "remove_venue",
    "restore_activity",
    "star_activity",
    "take_menu",
    "take_template",
    "write_message",
    "write_review",
]
