"""A clash made as small as it can be."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine.whynot import smallest_clash


@given(st.lists(st.frozensets(st.integers(0, 7), min_size=1), min_size=1, max_size=4))
def test_what_is_left_clashes_and_every_rule_of_it_is_needed(clashes: list[frozenset[int]]) -> None:
    def clash(kept: frozenset[int]) -> bool:
        return any(core <= kept for core in clashes)

    left = frozenset(smallest_clash(range(8), clash))
    assert clash(left)
    assert not any(clash(left - {rule}) for rule in left)


def test_the_rules_wanted_least_stand_last_and_are_given_up_first() -> None:
    assert smallest_clash([3, 1, 2], lambda kept: len(kept) >= 2) == (1, 3)


def test_where_the_problem_itself_has_no_answer_no_rule_is_to_blame() -> None:
    assert smallest_clash([0, 1], lambda kept: True) == ()
