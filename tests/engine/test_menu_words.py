"""Why a part is what it is."""

from __future__ import annotations

from clubapp.engine import menu_words
from clubapp.engine.menu_problem import Answer, Problem
from tests.engine.menus import evening, with_card

ANSWER = Answer(("amble", "bound", "creep", "eddy", "float"), (5, 8, 4))


def why(problem: Problem, answer: Answer, place: int) -> tuple[str, ...]:
    return tuple(reason.text for reason in menu_words.why(problem, answer, place))


def test_wanted_starred_and_alone_for_its_aim() -> None:
    asked = with_card(evening(locks={1: "bound"}, names={"jump": "jumping"}), "bound", starred=True, recent=True)
    assert why(asked, ANSWER, 1) == (
        "You kept it.",
        "Starred by your club.",
        "The only station about jumping.",
        "Hard, between easier ones.",
        "Played in the last two weeks.",
    )


def test_lanes_copies_and_the_oldest() -> None:
    asked = with_card(evening(children=9), "eddy", children=(1, 5), ages=(5, 12))
    assert why(asked, ANSWER, 3) == (
        "Intensity: steady.",
        "A game for everybody at the end.",
        "Set up 2 times, for 4 or 5 children each.",
        "Meant for children up to 12: see that the oldest have the harder form.",
    )
    assert "4 children in 2 lanes." in why(evening(), ANSWER, 2)
    assert "Easy: a rest between harder ones." in why(evening(), ANSWER, 2)


def test_neighbours_of_the_same_and_of_both_kinds() -> None:
    alike = with_card(evening(), "creep", heat=3)
    assert "Hard, like what is done before and after." in why(alike, ANSWER, 1)
    three = evening(stations=3, children=9, aims=("jump",))
    row = Answer(("amble", "creep", "glide", "dash", "eddy", "float"), (5, 8, 4))
    assert why(three, row, 2)[:2] == ("The only station about jump.", "Intensity: steady.")
    assert "About none of the aims: no other fits beside the rest." in why(three, row, 1)
    both = Answer(("amble", "bound", "glide", "dash", "eddy", "float"), (5, 8, 4))
    assert "About jump." in why(three, both, 2)
    one = evening(stations=1, aims=())
    assert why(one, Answer(("amble", "bound", "eddy", "float"), (5, 8, 4)), 1) == ("Intensity: hard.",)
