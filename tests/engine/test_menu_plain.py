"""The plain way: keeps every rule or gives up, whatever it is short of."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine.menu_plain import plain
from clubapp.engine.menu_problem import Ground
from clubapp.engine.menu_rules import violations
from tests.engine.menus import evening, tiny, with_card
from tests.strategies import examples


@given(st.integers(0, 9_999))
@examples(25)
def test_it_breaks_nothing(seed: int) -> None:
    asked = tiny(seed, game=seed % 2 == 0)
    answer = plain(asked)
    assert answer is None or violations(asked, answer) == []


def test_first_come_first_served_by_aim_and_star() -> None:
    first = plain(evening())
    assert first is not None
    assert first.cards == ("amble", "creep", "bound", "eddy", "float")
    starred = plain(with_card(evening(), "dash", starred=True))
    assert starred is not None
    assert starred.cards[1] == "dash"


def test_locks_and_what_was_played_lately() -> None:
    kept = plain(with_card(evening(locks={2: "glide"}), "creep", recent=True))
    assert kept is not None
    assert kept.cards[1:3] == ("dash", "glide")
    free = evening(kit=None, ground=None, most_contacts=12, game=False, aims=())
    answer = plain(free)
    assert answer is not None
    assert violations(free, answer) == []


def test_other_parts_give_minutes_until_turns_are_long_enough() -> None:
    short = plain(evening(minutes=27))
    assert short is not None
    assert sum(short.minutes) < 5 + 8 + 4
    assert plain(evening(minutes=20)) is None


def test_in_a_corner_it_gives_up() -> None:
    assert plain(evening(adults=1)) is None
    assert plain(evening(kit={"cones": 8})) is None  # its hoops; the solver finds no way either without mats
    assert plain(evening(ground=Ground(1, 2.5))) is None
    assert plain(evening(most_contacts=0, locks={1: "bound"})) is None
