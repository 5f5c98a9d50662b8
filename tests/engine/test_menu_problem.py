"""What a menu is asked: figures that cannot be are refused, and a card knows whom and what it needs."""

from __future__ import annotations

from typing import Any

import pytest

from clubapp.engine.menu_problem import WAYS, Answer, Ground, Role, work_s
from tests.engine.menus import S, card, evening


@pytest.mark.parametrize(
    "wrong",
    [{"minutes": (4, 3, 5)}, {"heat": 4}, {"wide_m": 0.0}, {"children": (3, 2)}, {"queue": (0, 1)}, {"lanes": 0}],
)
def test_a_card_that_cannot_be_is_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="cannot be"):
        card("wrong", S, **wrong)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"cards": (card("a"), card("a"))}, "one id"),
        ({"stations": 9}, "a child for every station"),
        ({"youngest": 15}, "the youngest"),
        ({"adults": -1}, "negative"),
        ({"locks": {9: "dash"}}, "lock"),
        ({"locks": {0: "nobody"}}, "lock"),
    ],
)
def test_a_problem_that_cannot_be_is_refused(wrong: dict[str, Any], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        evening(**wrong)


def test_the_parts_stand_in_the_order_of_the_evening() -> None:
    assert evening().parts == (Role.WARM_UP, Role.STATION, Role.STATION, Role.GAME, Role.COOL_DOWN)
    assert evening(game=False).parts == (Role.WARM_UP, Role.STATION, Role.STATION, Role.COOL_DOWN)
    assert (evening().wholes, evening().rounds) == ((0, 3, 4), (1, 2))


def test_lanes_are_filled_and_hold_everybody() -> None:
    lanes = card("lanes", lanes=3, queue=(2, 4))
    assert [lanes.lanes_for(children) for children in (2, 4, 6, 12, 13)] == [1, 2, 3, 3, 4]


def test_a_whole_squad_needs_a_card_several_times() -> None:
    asked = evening(children=10)
    hoops = card("hoops", children=(2, 4), kit={"hoops": 1}, kit_shared={"cones": 4}, lanes=2, queue=(1, 2))
    made = asked.set_up(hoops, Role.GAME)
    assert (made.copies, made.lanes, dict(made.kit), made.adults) == (3, 2, {"hoops": 6, "cones": 12}, 3)
    assert asked.set_up(hoops, Role.STATION).copies == 1
    assert asked.sizes(hoops, Role.GAME) == (3, 3, 4)


def test_who_and_where_a_card_is_not_for() -> None:
    asked = evening(aims=())
    assert "nothing for a game" in asked.unfit(card("a", S), Role.GAME)
    assert "from 9, and the youngest is 7" in asked.unfit(card("a", ages=(9, 15)), S)
    assert "for 5 to 9 children; there are 4 to 4" in asked.unfit(card("a", children=(5, 9)), S)
    assert "for 1 to 3 children" in asked.unfit(card("a", children=(1, 3)), S)
    assert "needs 11 by 12 m" in asked.unfit(card("a", wide_m=11.0, long_m=12.0), S)
    assert asked.unfit(card("a", wide_m=10.0, long_m=20.0), S) == asked.unfit(card("a", wide_m=20.0, long_m=10.0), S)
    assert asked.unfit(card("a", wide_m=20.0, long_m=10.0), S) == ""
    assert [one.id for one in asked.able(0)] == ["amble", "float"]
    assert asked.by_id["amble"].heat == 1
    assert evening(ground=None).unfit(card("a", wide_m=900.0), S) == ""


def test_minutes_are_shared_out() -> None:
    asked = evening()
    answer = Answer(("amble", "bound", "creep", "eddy", "float"), (5, 8, 4))
    # 40 minutes less gathering, water, the other parts and a change-over
    assert work_s(asked, answer) == 60 * (40 - 3 - 2 - 17 - 1)
    assert evening(game=False).free_s == 60 * (40 - 3 - 1)
    assert Ground(20, 10).usable_m2 == 200 * (1 - WAYS)
    assert (asked.aim("run"), evening(names={"run": "running"}).aim("run")) == ("run", "running")
