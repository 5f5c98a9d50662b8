"""Each rule of a menu: kept by the evening's answer, broken by one that breaks just that."""

from __future__ import annotations

from typing import Any

import pytest

from clubapp.engine.menu_problem import Answer, Ground
from clubapp.engine.menu_rules import KEPT, reasons, violations
from tests.engine.menus import evening, with_card

KEEPS = Answer(("amble", "bound", "creep", "eddy", "float"), (5, 8, 4))


def test_an_answer_that_keeps_everything() -> None:
    asked = evening(most_contacts=12, locks={1: "bound"})
    assert violations(asked, KEEPS) == []
    assert {reason.code for reason in reasons(asked)} == set(KEPT)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"most_contacts": 11}, "11 times at most"),
        ({"adults": 1}, "1 adults"),
        ({"ground": Ground(1, 2.5)}, "1 by 2.5 m"),
        ({"kit": {"cones": 8}}, "0 hoops"),
        ({"kit": {}}, "0 hoops"),
        ({"minutes": 28}, "28 minutes for 2 stations"),
        ({"aims": ("run", "throw")}, "about throw"),
        ({"locks": {1: "glide"}}, "Glide is kept"),
        ({"locks": {1: "amble"}}, "Amble is nothing for a station"),
    ],
)
def test_one_rule_broken_is_named(changes: dict[str, Any], words: str) -> None:
    assert [words in line for line in violations(evening(**changes), KEEPS)].count(True) == 1


def test_what_was_played_lately_comes_again_only_where_wanted() -> None:
    lately = with_card(evening(), "bound", recent=True)
    assert violations(lately, KEEPS) == ["Nothing of the last two weeks comes again."]
    assert violations(with_card(evening(locks={1: "bound"}), "bound", recent=True), KEEPS) == []
    assert violations(with_card(evening(repeats=True), "bound", recent=True), KEEPS) == []


def test_shapes_that_are_no_menu() -> None:
    asked = evening()
    for wrong in (Answer((), ()), Answer(KEEPS.cards, (5,)), Answer(("nobody", *KEEPS.cards[1:]), KEEPS.minutes)):
        assert violations(asked, wrong) == ["It has not one known activity for each part."]
    twice = violations(asked, Answer(("amble", "bound", "creep", "eddy", "amble"), (5, 8, 5)))
    assert twice == ["Amble comes twice."]
    assert violations(asked, Answer(KEEPS.cards, (9, 8, 4))) == ["Amble is for 3 to 8 minutes."]
    swapped = violations(asked, Answer(("bound", "amble", "creep", "eddy", "float"), (5, 8, 4)))
    assert {"Bound is nothing for a warm-up.", "Amble is nothing for a station."} <= set(swapped)


def test_what_nobody_wrote_down_is_no_rule() -> None:
    bare = evening(ground=None, kit=None, aims=(), repeats=True, stations=1, children=4)
    assert [reason.code for reason in reasons(bare)] == ["adults", "minutes"]
    assert "1 station " in reasons(bare)[1].text
