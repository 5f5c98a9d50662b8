"""One round that keeps the rules, or the fewest rules that cannot all be kept."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import cpsat, mixing_model
from clubapp.engine.cpsat import Proof
from clubapp.engine.mixing_ground import answer_of
from clubapp.engine.mixing_model import one_round
from clubapp.engine.mixing_problem import Answer, Problem
from clubapp.engine.mixing_rules import reasons, violations, without
from tests.engine.test_mixing import DAY, children
from tests.strategies import examples


def ruled(pairs: list[frozenset[str]], together: int, kinds: int, within: float | None) -> Problem:
    athletes = tuple(
        replace(one, kinds=frozenset({"k"} if at < kinds else {})) for at, one in enumerate(children(6, 4))
    )
    return Problem(
        athletes, DAY, 2, 1, together=tuple(pairs[:together]), apart=tuple(pairs[together:]), not_alone=("k",),
        within_years=within,
    )  # fmt: skip


def any_round(problem: Problem) -> Answer | None:
    """By trying them all."""
    for one in combinations(problem.ids, 3):
        answer = Answer(((one, tuple(child for child in problem.ids if child not in one)),))
        if not violations(problem, answer):
            return answer
    return None


PAIRS = st.lists(
    st.sampled_from([frozenset(pair) for pair in combinations((f"c{at:02}" for at in range(6)), 2)]), max_size=6
)


@examples(10)
@given(PAIRS, st.integers(0, 3), st.integers(0, 6), st.none() | st.sampled_from([0.5, 1.5, 3.0]))
def test_a_round_where_there_is_one_and_else_fewest_rules(
    pairs: list[frozenset[str]], together: int, kinds: int, within: float | None
) -> None:
    problem = ruled(pairs, together, kinds, within)
    found = one_round(problem, 0)
    if not isinstance(found, tuple):
        assert violations(problem, answer_of(problem, found[None])) == []
        return
    assert any_round(problem) is None
    only = problem
    for reason in (reason for reason in reasons(problem) if reason not in found):
        only = without(only, reason)
    assert any_round(only) is None
    for reason in found:
        assert any_round(without(only, reason)) is not None


def test_an_odd_number_of_each_of_two_kinds_in_groups_of_four() -> None:
    """11 and 13: a group of four has none, two or four of either, and 11 is odd. Counting finds it."""
    athletes = tuple(replace(one, kinds=frozenset({"f"} if at < 11 else {"m"})) for at, one in enumerate(children(24)))
    problem = Problem(athletes, DAY, 6, 4, not_alone=("f", "m", "nobody"), within_years=4.0)
    found = one_round(problem, 0)
    assert isinstance(found, tuple)
    assert [reason.about for reason in found] == [("f",), ("m",)]
    for reason in found:
        free = without(problem, reason)
        kept = one_round(free, 0)
        assert not isinstance(kept, tuple)
        assert violations(free, answer_of(free, np.tile(kept, (4, 1)))) == []


def test_groups_that_differ_in_size() -> None:
    problem = Problem(children(5), DAY, 2, 1, apart=(frozenset({"c00", "c01"}),))
    found = one_round(problem, 0)
    assert not isinstance(found, tuple)
    assert violations(problem, answer_of(problem, found[None])) == []


def test_where_the_time_is_not_enough_no_rule_is_blamed(monkeypatch: pytest.MonkeyPatch) -> None:
    run = cpsat.run
    monkeypatch.setattr(mixing_model.cpsat, "run", lambda *a, **k: replace(run(*a, **k), proof=Proof.UNKNOWN))
    assert one_round(Problem(children(6), DAY, 2, 1), 0) == ()


def test_a_core_that_was_not_named_is_found_among_all_rules(monkeypatch: pytest.MonkeyPatch) -> None:
    run = cpsat.run
    monkeypatch.setattr(mixing_model.cpsat, "run", lambda *a, **k: replace(run(*a, **k), core=()))
    both = frozenset({"c00", "c01"})
    problem = Problem(children(6), DAY, 2, 1, together=(both,), apart=(frozenset({"c02", "c03"}), both))
    found = one_round(problem, 0)
    assert not isinstance(found, np.ndarray)
    assert [reason.code for reason in found] == ["together", "apart"]
