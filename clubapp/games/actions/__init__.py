"""Every write of games."""

from __future__ import annotations

from clubapp.games.actions.erasing import erase_child
from clubapp.games.actions.field import Saying, enter
from clubapp.games.actions.making import Order, draw_next, drop_game, fit_in, make_game, take_out
from clubapp.games.actions.merging import merge_child
from clubapp.games.actions.term import Wanted, begin_term, end_term, join_term
from clubapp.games.trouble import RefusedError

__all__ = [
    "Order",
    "RefusedError",
    "Saying",
    "Wanted",
    "begin_term",
    "draw_next",
    "drop_game",
    "end_term",
    "enter",
    "erase_child",
    "fit_in",
    "join_term",
    "make_game",
    "merge_child",
    "take_out",
]
