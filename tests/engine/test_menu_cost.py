"""What a menu costs, item by item."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from clubapp.engine import menu_cost as cost
from clubapp.engine.menu_problem import Answer, Problem, Role
from tests.engine import menus
from tests.engine.menus import with_card

ANSWER = Answer(("amble", "glide", "creep", "eddy", "float"), (5, 8, 4))


def evening(**changes: Any) -> Problem:
    """Of 39 minutes: two turns of eight, as long as a card lasts."""
    return menus.evening(minutes=39, **changes)


def worth(problem: Problem, answer: Answer = ANSWER) -> float:
    return cost.score(problem, answer)


def test_an_evening_item_by_item() -> None:
    asked = evening()
    # Jump and run once each mainly; steady, then easy; the game one step above easy.
    assert worth(asked) == cost.HOT_GAME
    assert worth(evening(shown=frozenset({"creep"}))) == cost.HOT_GAME + cost.SHOWN
    assert worth(with_card(asked, "creep", ages=(5, 10))) == cost.HOT_GAME + cost.DULL
    assert worth(asked, replace(ANSWER, minutes=(6, 8, 3))) == cost.HOT_GAME + 2 * cost.ODD_MINUTE
    assert worth(replace(asked, minutes=41)) == cost.HOT_GAME + cost.STRETCH  # two turns of nine


def test_stars_count_where_one_could_be() -> None:
    asked = with_card(evening(), "dash", starred=True)
    assert worth(asked) == cost.HOT_GAME + 2 * cost.UNSTARRED
    assert not cost.star_counts(with_card(evening(), "eddy", starred=True), Role.STATION)


def test_aims_that_nobody_asked_for_and_uneven_ones() -> None:
    assert worth(evening(aims=("run",))) == cost.HOT_GAME  # glide is about running besides
    turned = worth(evening(aims=("jump",)))
    assert turned == cost.HOT_GAME + cost.OFF_AIM + 2 * cost.OFF_AIM_WHOLE
    two = replace(ANSWER, cards=("amble", "dash", "creep", "eddy", "float"))
    assert worth(evening(), two) == cost.HOT_GAME + 2 * cost.UNEVEN
    assert worth(evening(aims=())) == cost.HOT_GAME


def test_the_ring_of_stations() -> None:
    assert cost.ring_pairs([3]) == []
    assert cost.ring_pairs([3, 1]) == [(3, 1)]
    assert cost.ring_pairs([3, 1, 2]) == [(3, 1), (1, 2), (2, 3)]
    assert [cost.slope(ring) for ring in ([1, 2], [2, 1], [1, 1, 1], [1, 3, 1], [3])] == [1, -1, 0, 0, 0]
    hard = replace(ANSWER, cards=("amble", "bound", "dash", "eddy", "float"))
    assert worth(evening(), hard) == cost.HOT_GAME + cost.BOTH_HARD
    alike = with_card(evening(), "creep", heat=2)
    assert worth(alike) == cost.HOT_GAME + cost.ALIKE
    rising = replace(ANSWER, cards=("amble", "creep", "glide", "eddy", "float"))
    assert worth(evening(), rising) == cost.HOT_GAME + cost.RISING
