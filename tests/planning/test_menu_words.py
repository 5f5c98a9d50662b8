"""Every code the engine gives for a menu has words of its own, and a tap that takes a clash away changes just that."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from django.http import QueryDict

from clubapp.engine import menu, menu_rules, menu_words
from clubapp.engine.menu import Problem, Role
from clubapp.engine.outcome import Reason
from clubapp.planning.menu_words import clashes, why_words
from tests.engine.menus import evening, with_card
from tests.engine.test_menu_words import ANSWER

ASKED = QueryDict("go=new&aims=run&aims=jump&stations=2&keep=1&keep=2")


def tap(problem: Problem, reason: Reason) -> tuple[str, str, QueryDict]:
    (found,) = clashes(problem, (reason,), ASKED)
    assert bool(found.tap) == bool(found.query)
    return found.words, found.way + found.tap, QueryDict(found.query)


def test_whatever_the_engine_says_of_a_part_has_words() -> None:
    source = Path(menu_words.__file__).read_text()
    codes = set(re.findall(r'Reason\("([a-z]+)"', source))
    assert len(codes) == 14
    problem = with_card(evening(children=9, locks={1: "bound"}), "eddy", children=(1, 5), ages=(5, 12))
    about = {"alone": ("run", "jump"), "about": ("run",), "copies": ("2", "4", "5"), "lanes": ("2", "4", "4")}
    for code in sorted(codes):
        heat = ("hard",) if code in ("heat", "alike", "peak", "rest") else ("12",)
        assert why_words(problem, Reason(code, "", about.get(code, heat)))
    # They say the same as the engine's own plain ones.
    for place in range(len(problem.parts)):
        for reason in menu.why(problem, ANSWER, place):
            assert why_words(problem, reason) == reason.text


def test_whatever_can_clash_has_words_and_a_way_out() -> None:
    problem = evening(most_contacts=5, locks={1: "amble", 2: "bound"})
    for reason in menu_rules.reasons(problem):
        words, way, _query = tap(problem, reason)
        assert words
        assert way
    for code, about in (("cards", ("station",)), ("cards", ("game",)), ("few", ()), ("time", ())):
        words, way, _query = tap(problem, Reason(code, "", about))
        assert words
        assert way


@pytest.mark.parametrize(
    ("reason", "name", "values"),
    [
        (Reason("aim", "", ("run",)), "aims", ["jump"]),
        (Reason("fresh", ""), "repeats", ["on"]),
        (Reason("lock", "", ("1", "bound")), "keep", ["2"]),
        (Reason("adults", ""), "stations", ["1"]),
    ],
)
def test_a_tap_changes_one_thing(reason: Reason, name: str, values: list[str]) -> None:
    _words, _way, query = tap(evening(), reason)
    assert query.getlist(name) == values
    assert {one: query.getlist(one) for one in ASKED if one != name} == {
        one: ASKED.getlist(one) for one in ASKED if one != name
    }


def test_no_tap_where_none_can_help() -> None:
    assert tap(evening(), Reason("kit", "", ("cones",)))[::2] == ("The club has 8 cones.", QueryDict(""))
    assert tap(evening(stations=1), Reason("minutes", ""))[2] == QueryDict("")


def test_what_is_kept_but_cannot_stand_there_says_why() -> None:
    problem = evening(locks={1: "glide"})
    said = {
        "is kept where it is.": problem,
        "is nothing for this part: station.": with_card(problem, "glide", roles=frozenset({Role.GAME})),
        "is for children from 9, and the youngest is 7.": with_card(problem, "glide", ages=(9, 15)),
        "is for 5 to 9 children; there are 4.": with_card(problem, "glide", children=(5, 9)),
        "needs 30 by 5 m of ground.": with_card(problem, "glide", wide_m=30.0, long_m=5.0),
    }
    for words, asked in said.items():
        assert tap(asked, Reason("lock", "", ("1", "glide")))[0] == f"Glide {words}"


def test_what_was_played_lately_is_named() -> None:
    lately = replace(with_card(evening(), "glide", recent=True), aims=("run",))
    words = tap(lately, Reason("fresh", ""))[0]
    assert words == "Nothing of the last two weeks comes again. That leaves out: Glide."
