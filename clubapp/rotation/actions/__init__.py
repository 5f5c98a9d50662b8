"""Every write of a plan."""

from __future__ import annotations

from clubapp.rotation.actions.byhand import move_child, place_child, set_lock, undo
from clubapp.rotation.actions.erasing import erase_child
from clubapp.rotation.actions.making import Order, adapt_last_groups, make_groups, task_of
from clubapp.rotation.actions.merging import merge_child
from clubapp.rotation.actions.repairs import case_of, chosen, repair, take
from clubapp.rotation.actions.rows import RefusedError, copied

__all__ = [
    "Order",
    "RefusedError",
    "adapt_last_groups",
    "case_of",
    "chosen",
    "copied",
    "erase_child",
    "make_groups",
    "merge_child",
    "move_child",
    "place_child",
    "repair",
    "set_lock",
    "take",
    "task_of",
    "undo",
]
