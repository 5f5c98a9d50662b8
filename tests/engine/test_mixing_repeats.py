"""Repeats that counting shows cannot be avoided: never more than the best there is."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine.mixing import Answer, Problem, meetings, violations
from clubapp.engine.mixing_repeats import least_repeats, possible
from tests.engine.test_mixing import DAY, children, ways
from tests.strategies import examples


@pytest.mark.parametrize(
    ("count", "groups", "rounds", "least"),
    [
        (24, 6, 7, 0),  # 7 × 36 meetings of 276
        (15, 5, 7, 0),  # every pair once
        (15, 5, 8, 15),  # 8 × 15 − 105
        (9, 3, 5, 9),  # 5 × 9 − 36
        (8, 2, 2, 4),  # four of a group dealt to two groups: two of their pairs meet again, and so in the other group
    ],
)
def test_how_many_must_meet_again(count: int, groups: int, rounds: int, least: int) -> None:
    assert least_repeats(Problem(children(count), DAY, groups, rounds)) == least


def test_a_full_chain_meets_nobody_and_the_others_have_fewer_to_meet() -> None:
    """Twenty in fours over 7 rounds: 7 × 30 meetings of 190; a pair apart is one less to meet."""
    full = Problem(children(24), DAY, 6, 7, together=(frozenset({"c00", "c01", "c02", "c03"}),))
    assert least_repeats(full) == 7 * 30 - 190
    assert least_repeats(replace(full, apart=(frozenset({"c10", "c11"}),))) == 7 * 30 - 189


def test_a_chain_with_one_of_a_kind_needs_another_of_it_in_every_round() -> None:
    """Three of a chain, one of them a girl, and five more girls for seven rounds: two come again, to all three; and
    each of the five has two girls too few, too.
    """
    some = tuple(
        replace(child, kinds=frozenset({"sex:f"} if at in (0, 10, 11, 12, 13, 14) else ()))
        for at, child in enumerate(children(24))
    )
    problem = Problem(some, DAY, 6, 7, together=(frozenset({"c00", "c01", "c02"}),), not_alone=("sex:f",))
    assert least_repeats(problem) == (3 * 2 + 5 * 2) / 2
    assert least_repeats(replace(problem, not_alone=())) == 0


def test_chains_apart_or_too_large_for_each_other_never_meet() -> None:
    pairs = (frozenset({"c00", "c01"}), frozenset({"c02", "c03", "c04"}))
    problem = Problem(children(8), DAY, 2, 2, together=pairs, apart=(frozenset({"c00", "c05"}),))
    assert possible(problem)[pairs[0]] == {"c06", "c07"}
    assert possible(problem)[frozenset({"c05"})] == {"c02", "c03", "c04", "c06", "c07"}


@examples(6)
@given(st.sampled_from([(6, 2, 3), (5, 2, 3), (6, 3, 3), (7, 3, 2)]), st.integers(0, 50), st.data())
def test_no_rounds_repeat_fewer(shape: tuple[int, int, int], seed: int, data: st.DataObject) -> None:
    """By trying everything, rules included."""
    count, groups, rounds = shape
    flip = st.booleans()
    some = tuple(replace(child, kinds=frozenset({"new"} if data.draw(flip) else ())) for child in children(count, seed))
    problem = Problem(
        some, DAY, groups, rounds, not_alone=("new",) * data.draw(flip),
        together=(frozenset({"c00", "c01"}),) * data.draw(flip), apart=(frozenset({"c00", "c02"}),) * data.draw(flip),
    )  # fmt: skip
    turns = {tuple(sorted(turn)) for turn in ways(problem.ids, problem.sizes)}
    kept = [turn for turn in turns if not violations(replace(problem, rounds=1), Answer((turn,)))]
    found = [meetings(Answer(every)) for every in product(kept, repeat=rounds)]
    repeats = [sum(times - 1 for pair, times in met.items() if pair not in problem.held) for met in found]
    assert least_repeats(problem) <= min(repeats, default=1000)
