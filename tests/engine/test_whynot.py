"""A clash made as small as it can be."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine.whynot import hitting, smallest_clash
from tests.strategies import examples

SETS = st.lists(st.frozensets(st.integers(0, 7), min_size=1), min_size=1, max_size=6)


@examples(30)
@given(SETS, st.permutations(range(8)), st.integers(0, 60))
def test_what_is_left_clashes_and_every_rule_of_it_is_needed(
    clashes: list[frozenset[int]], core: list[int], tests: int
) -> None:
    def clash(kept: frozenset[int]) -> bool:
        return any(one <= kept for one in clashes)

    left = frozenset(smallest_clash(core, clash, tests=tests))
    assert clash(left)
    assert not any(clash(left - {rule}) for rule in left)


@examples(30)
@given(SETS, st.permutations(range(8)))
def test_no_clash_has_fewer_rules(clashes: list[frozenset[int]], core: list[int]) -> None:
    found = smallest_clash(core, lambda kept: any(one <= kept for one in clashes), tests=10_000)
    assert len(found) == min(map(len, clashes))


def test_a_smaller_clash_outside_the_core() -> None:
    clashes = [frozenset({0, 1, 2}), frozenset({3, 4})]

    def clash(kept: frozenset[int]) -> bool:
        return any(one <= kept for one in clashes)

    assert smallest_clash([0, 1, 2], clash) == (0, 1, 2)
    assert smallest_clash([0, 1, 2], clash, range(5)) == (3, 4)


def test_the_tests_are_counted_and_a_clash_that_has_no_other_beside_it_costs_few() -> None:
    asked = []

    def clash(kept: frozenset[int]) -> bool:
        asked.append(kept)
        return kept >= {2, 5}

    assert smallest_clash(range(30), clash) == (2, 5)
    assert len(asked) == 30 + 2  # and two that show that each of both is in every clash
    asked.clear()
    assert smallest_clash(range(30), clash, tests=1) == (2, 5)
    assert len(asked) == 31


def test_the_rules_wanted_least_stand_last_and_are_given_up_first() -> None:
    assert smallest_clash([3, 1, 2], lambda kept: len(kept) >= 2) == (1, 3)


def test_where_the_problem_itself_has_no_answer_no_rule_is_to_blame() -> None:
    assert smallest_clash([0, 1], lambda kept: True) == ()


@examples(30)
@given(SETS, st.integers(-1, 8))
def test_the_fewest_that_hit_every_set(sets: list[frozenset[int]], most: int) -> None:
    found = hitting(sets, most)
    hits = [one for size in range(9) for one in combinations(range(8), size) if all(set(one) & each for each in sets)]
    if len(hits[0]) > most:
        assert found is None
    else:
        assert found is not None
        assert len(found) == len(hits[0])
        assert all(found & each for each in sets)
