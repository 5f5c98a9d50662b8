"""The solver's model: its integers are the score, and a clash names rules that can be dropped."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine.limits import QUICK
from clubapp.engine.menu_cost import score
from clubapp.engine.menu_model import any_menu, best, clash, no_card
from clubapp.engine.menu_problem import Ground
from clubapp.engine.menu_rules import violations
from tests.engine.menus import evening, tiny, with_card
from tests.strategies import examples


@given(st.integers(0, 9_999))
@examples(8)
def test_what_the_solver_counts_is_the_score(seed: int) -> None:
    asked = tiny(seed, game=seed % 3 == 0)
    if no_card(asked):
        return
    found = best(asked, QUICK, seed, None)
    assert (found is None) == bool(clash(asked, seed))
    if found:
        answer, run = found
        assert violations(asked, answer) == []
        assert score(asked, answer) == run.objective


@given(st.integers(0, 9_999))
@examples(8)
def test_any_menu_keeps_the_rules_and_there_is_one_unless_they_clash(seed: int) -> None:
    asked = tiny(seed, game=seed % 3 == 0)
    if no_card(asked):
        return
    found = any_menu(asked, seed)
    assert (found is None) == bool(clash(asked, seed))
    assert found is None or violations(asked, found) == []


def test_a_start_is_taken_and_no_aims_is_a_wish_too() -> None:
    for asked in (evening(most_contacts=20), evening(aims=(), repeats=True, ground=None, kit=None)):
        first = best(asked, QUICK, 0, None)
        assert first is not None
        again = best(asked, QUICK, 0, first[0])
        assert again is not None
        assert score(asked, again[0]) == score(asked, first[0])


@pytest.mark.parametrize(
    ("changes", "codes"),
    [
        ({"most_contacts": 5, "locks": {1: "bound"}}, ["contacts", "lock"]),
        ({"minutes": 20}, ["minutes"]),
        ({"ground": Ground(1, 2.5)}, ["space"]),
        ({"locks": {1: "amble"}}, ["lock"]),
        ({"aims": ("run", "throw")}, ["aim"]),
    ],
)
def test_the_smallest_clash(changes: dict[str, object], codes: list[str]) -> None:
    assert [rule.code for rule in clash(evening(**changes), 0)] == codes


def test_what_was_played_lately_can_be_what_is_missing() -> None:
    lately = with_card(evening(), "eddy", recent=True)
    assert [rule.code for rule in clash(lately, 0)] == ["fresh"]
    assert clash(evening(), 0) == ()


def test_no_rule_is_to_blame_where_cards_run_out() -> None:
    calm = [one for one in evening().cards if one.id != "float"]
    assert [reason.code for reason in clash(evening(cards=tuple(calm)), 0)] == ["few"]


def test_parts_that_no_card_can_be() -> None:
    few = no_card(evening(children=9, youngest=4))
    assert [reason.about for reason in few] == [("warm-up",), ("station",), ("game",), ("cool-down",)]
    assert "groups of 4 or 5" in few[1].text
    assert "groups of 4 from" in no_card(evening(youngest=4))[1].text
