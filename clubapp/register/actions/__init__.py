"""Every write of the register."""

from __future__ import annotations

from clubapp.register.actions.adults import Adult, mark_adult
from clubapp.register.actions.asking import Noted, note_answer, read_contacts
from clubapp.register.actions.bringing import note_brought
from clubapp.register.actions.calling import read_emergency_numbers
from clubapp.register.actions.children import NewChild, add_child, finish_register
from clubapp.register.actions.erasing import erase_child
from clubapp.register.actions.lateness import tell_late
from clubapp.register.actions.marks import (
    Said,
    mark,
    mark_here,
    mark_rest_absent,
    take_back_mark,
    take_back_rest,
    tell_cannot_come,
    withdraw_notice,
)
from clubapp.register.actions.merging import merge_child
from clubapp.register.actions.pick_ups import (
    Picker,
    ask_pick_up,
    decide_pick_up,
    withdraw_pick_up,
)
from clubapp.register.actions.taps import Answer, OtherTapError, Tap

__all__ = [
    "Adult",
    "Answer",
    "NewChild",
    "Noted",
    "OtherTapError",
    "Picker",
    "Said",
    "Tap",
    "add_child",
    "ask_pick_up",
    "decide_pick_up",
    "erase_child",
    "finish_register",
    "mark",
    "mark_adult",
    "mark_here",
    "mark_rest_absent",
    "merge_child",
    "note_answer",
    "note_brought",
    "read_contacts",
    "read_emergency_numbers",
    "take_back_mark",
    "take_back_rest",
    "tell_cannot_come",
    "tell_late",
    "withdraw_notice",
    "withdraw_pick_up",
]
