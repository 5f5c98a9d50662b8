"""The next best for one part: everything else stays, rules are kept, and tapping on goes once round."""

from __future__ import annotations

from dataclasses import replace

from clubapp.engine.menu_cost import score
from clubapp.engine.menu_next import choices, instead, next_best
from clubapp.engine.menu_problem import Answer
from clubapp.engine.menu_rules import violations
from tests.engine.menus import evening, with_card

ANSWER = Answer(("amble", "glide", "creep", "eddy", "float"), (5, 8, 4))


def test_tapping_on_goes_once_round() -> None:
    asked, answer, seen = evening(locks={1: "glide"}), ANSWER, []
    for _tap in choices(asked, ANSWER, 1):
        seen.append(answer.cards[1])
        after = next_best(asked, answer, 1)
        assert after is not None
        assert after.cards[:1] + after.cards[2:] == ANSWER.cards[:1] + ANSWER.cards[2:]
        assert violations(evening(), after) == []
        answer = after
    assert sorted(seen) == ["bound", "glide"]  # with "dash" no station would be about jumping
    assert answer == ANSWER
    ranked = choices(asked, ANSWER, 1)
    assert [one.score for one in ranked] == sorted(score(evening(), one.answer) for one in ranked)


def test_minutes_go_along_as_far_as_the_card_allows() -> None:
    asked = evening()
    free = Answer(("amble", "glide", "creep", "eddy", "float"), (8, 8, 4))
    swapped = choices(asked, Answer(("float", "glide", "creep", "eddy", "amble"), (6, 8, 8)), 0)
    assert [one.card for one in swapped] == ["float"]  # amble stands at the end already
    assert next_best(asked, free, 0) is None
    assert next_best(asked, free, 3) is None


def test_a_part_that_itself_breaks_a_rule_gets_the_best_of_the_others() -> None:
    asked = evening(kit={"cones": 8, "mats": 1})
    broken = Answer(("amble", "bound", "creep", "eddy", "float"), (5, 8, 4))
    better = next_best(asked, broken, 1)
    assert better is not None
    assert better.cards[1] == "glide"


def test_what_stands_in_for_a_card_is_as_near_to_it_as_can_be() -> None:
    asked = with_card(evening(stations=2), "creep", starred=True)
    gone = replace(asked.by_id["dash"], id="gone")
    assert [one.id for one in instead(asked, gone, frozenset())] == ["creep", "dash", "glide", "bound"]
    assert [one.id for one in instead(asked, gone, frozenset({"creep"}))][:1] == ["dash"]
    short = replace(asked, kit={"cones": 4, "mats": 1})
    assert [one.id for one in instead(short, gone, frozenset())] == ["creep", "dash", "glide"]
    played = with_card(asked, "creep", recent=True)
    assert "creep" not in {one.id for one in instead(played, gone, frozenset())}
    assert "creep" in {one.id for one in instead(replace(played, repeats=True, kit=None), gone, frozenset())}
