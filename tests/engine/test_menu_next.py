"""The next best for one part: everything else stays, rules are kept, and tapping on goes once round."""

from __future__ import annotations

from clubapp.engine.menu_cost import score
from clubapp.engine.menu_next import choices, next_best
from clubapp.engine.menu_problem import Answer
from clubapp.engine.menu_rules import violations
from tests.engine.menus import evening

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
