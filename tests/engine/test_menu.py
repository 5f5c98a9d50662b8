"""The menu: nothing better exists where it says so, no rule is broken, and what clashes is named shortly."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import menu
from clubapp.engine.limits import Limit
from clubapp.engine.menu_rules import reasons
from clubapp.engine.outcome import Status
from tests.engine.menus import cheapest, evening, tiny, with_card
from tests.strategies import examples


@given(st.integers(0, 9_999), st.booleans())
@examples(8)
def test_no_menu_is_cheaper_and_none_is_missed(seed: int, game: bool) -> None:
    asked = tiny(seed, game)
    outcome, least = menu.solve(asked, seed=seed), cheapest(asked)
    if outcome.answer is None:
        assert least is None
        assert outcome.status is Status.IMPOSSIBLE
        assert outcome.reasons
        return
    assert outcome.status is Status.BEST
    assert menu.violations(asked, outcome.answer) == []
    assert least == outcome.score == outcome.bound == menu.score(asked, outcome.answer)
    simple = menu.plain(asked)
    assert simple is None or menu.score(asked, simple) >= outcome.score


def test_an_evening_in_its_order() -> None:
    asked = evening()
    outcome = menu.solve(asked)
    assert outcome.answer is not None
    heats = [asked.by_id[card].heat for card in outcome.answer.cards]
    assert (outcome.answer.cards[3], heats[0], heats[-1]) == ("eddy", 1, 1)  # the game near the end, calm at both ends
    assert heats[1] > heats[2]  # falling
    assert {aim for at in asked.rounds for aim in asked.by_id[outcome.answer.cards[at]].aims} == {"run", "jump"}
    assert menu.solve(asked).answer == outcome.answer


def test_what_was_just_shown_gives_way_to_what_is_as_good() -> None:
    asked = evening()
    first = menu.solve(asked).answer
    assert first is not None
    again = menu.solve(replace(asked, shown=frozenset(first.cards), locks={0: first.cards[0]})).answer
    assert again is not None
    assert again.cards[0] == first.cards[0]
    assert set(again.cards[1:3]).isdisjoint(first.cards[1:3])


def test_starred_cards_come_first_and_recent_ones_only_where_wanted() -> None:
    starred = menu.solve(with_card(evening(), "creep", starred=True)).answer
    assert starred is not None
    assert "creep" in starred.cards
    gone = menu.solve(with_card(with_card(evening(), "creep", starred=True), "creep", recent=True))
    assert gone.answer is not None
    assert "creep" not in gone.answer.cards
    wanted = replace(with_card(with_card(evening(), "creep", starred=True), "creep", recent=True), repeats=True)
    back = menu.solve(wanted).answer
    assert back is not None
    assert "creep" in back.cards


def test_every_rule_that_is_named_is_needed() -> None:
    asked = evening(adults=1, kit={"cones": 8}, locks={1: "glide"})
    outcome = menu.solve(asked)
    assert (outcome.status, outcome.score) == (Status.IMPOSSIBLE, math.inf)
    assert [reason.code for reason in outcome.reasons] == ["adults"]
    mats = menu.solve(evening(kit={"cones": 8, "hoops": 4}, locks={1: "glide"}))
    assert [reason.code for reason in mats.reasons] == ["kit", "lock"]
    assert set(mats.reasons) <= set(reasons(evening(kit={"cones": 8, "hoops": 4}, locks={1: "glide"})))


def test_no_card_for_a_part_is_said_before_anything_is_tried() -> None:
    outcome = menu.solve(evening(youngest=4))
    assert [reason.code for reason in outcome.reasons] == ["cards"] * 4
    assert "from 4 years as a warm-up" in outcome.reasons[0].text


def test_without_time_to_think_the_plain_menu_stands() -> None:
    none = Limit(deterministic=0.0)
    outcome = menu.solve(evening(), limit=none)
    assert outcome.status in (Status.SIMPLE, Status.GOOD)
    assert outcome.answer is not None
    assert menu.violations(evening(), outcome.answer) == []
    given_up = menu.solve(evening(locks={1: "dash", 2: "creep"}), limit=none)
    assert given_up.status is Status.IMPOSSIBLE  # no aim is jumping; the probe names why although nothing was found
    assert {reason.code for reason in given_up.reasons} >= {"aim"}


def test_a_better_menu_to_start_from_is_never_lost() -> None:
    asked = evening()
    best = menu.solve(asked).answer
    outcome = menu.solve(asked, start=best, limit=Limit(deterministic=0.0))
    assert outcome.score == menu.score(asked, best or menu.Answer((), ()))


def test_where_the_limit_was_too_short_any_menu_that_keeps_the_rules_will_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(menu, "plain", lambda problem: None)
    outcome = menu.solve(evening(), limit=Limit(deterministic=0.0))
    assert outcome.status is Status.SIMPLE
    assert outcome.answer is not None
    assert menu.violations(evening(), outcome.answer) == []
    monkeypatch.setattr(menu, "any_menu", lambda problem, seed: None)
    assert [reason.code for reason in menu.solve(evening(), limit=Limit(deterministic=0.0)).reasons] == ["time"]
