"""The rules as a constraint model, and which of them clash."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import combinations

import pytest
from hypothesis import given

from clubapp.engine import cpsat, groups_model
from clubapp.engine.groups_model import Model, keep_rules, obvious
from clubapp.engine.groups_problem import Answer, Problem
from clubapp.engine.groups_rules import reasons, violations, without
from clubapp.engine.limits import DEFAULT, Limit
from clubapp.engine.outcome import Reason
from clubapp.engine.words import Athlete
from tests.strategies import EVENING, children, evening, examples, group_problems

TWELVE = Problem(children(12, 1), EVENING, 4)


def why(problem: Problem) -> tuple[Reason, ...]:
    found = obvious(problem) or keep_rules(problem, DEFAULT, 0)
    assert not isinstance(found, Answer)
    return found


def codes(problem: Problem) -> list[str]:
    return [reason.code for reason in why(problem)]


@examples(13)
@given(group_problems(most=9))
def test_it_keeps_every_rule_or_says_which_clash(problem: Problem) -> None:
    kept = obvious(problem) or keep_rules(problem, DEFAULT, 0)
    if isinstance(kept, Answer):
        assert violations(problem, kept) == []
    else:
        assert kept
        assert set(kept) <= set(reasons(problem))


def test_more_children_to_keep_apart_than_groups() -> None:
    pairs = tuple(frozenset(pair) for pair in combinations(TWELVE.ids[:5], 2))
    problem = replace(TWELVE, apart=(*pairs, frozenset(TWELVE.ids[6:8])), together=(frozenset(TWELVE.ids[8:10]),))
    assert codes(problem) == ["apart"] * 10
    assert codes(replace(TWELVE, apart=(frozenset(TWELVE.ids[:5]),))) == ["apart"]
    assert keep_rules(without(problem, why(problem)[0]), DEFAULT, 0)


def test_a_chain_larger_than_a_group_names_its_links_and_no_others() -> None:
    ids = TWELVE.ids
    links = (frozenset(ids[0:2]), frozenset(ids[1:3]), frozenset(ids[2:4]), frozenset(ids[8:10]))
    problem = replace(TWELVE, together=links)
    assert codes(problem) == ["together"] * 3
    assert {child for reason in why(problem) for child in reason.about} == set(ids[0:4])
    assert obvious(replace(problem, sizes=(4, 4, 2, 2))) == ()
    assert len(why(replace(TWELVE, together=(frozenset(ids[0:5]), frozenset(ids[3:6]))))) == 1


def test_together_and_apart_clash_in_pairs() -> None:
    pair = frozenset(TWELVE.ids[:2])
    assert codes(replace(TWELVE, together=(pair,), apart=(pair,))) == ["together", "apart"]


def test_locks_clash_with_the_rules_on_their_children() -> None:
    one, two = TWELVE.ids[:2]
    problem = replace(TWELVE, together=(frozenset({one, two}),), locks=((one, 0), (two, 1), (TWELVE.ids[5], 2)))
    assert codes(problem) == ["together", "lock", "lock"]
    assert codes(replace(TWELVE, locks=((one, 4),))) == ["lock"]
    assert codes(replace(TWELVE, locks=tuple((child, 0) for child in TWELVE.ids))) == ["lock"] * 4


def test_the_only_one_of_a_kind_is_always_alone() -> None:
    only = (replace(TWELVE.athletes[0], kinds=frozenset({"sex:x"})), *TWELVE.athletes[1:])
    assert codes(replace(TWELVE, athletes=only, not_alone=("sex:x", "sex:f"))) == ["not_alone"]


def test_ages_too_far_apart() -> None:
    old = Athlete("old", born=EVENING - timedelta(days=9000))
    squad = [Athlete(f"c{at}", born=EVENING - timedelta(days=3000 + at)) for at in range(5)]
    assert codes(Problem((*squad, old), EVENING, 2, largest_age_gap_years=2.0)) == ["age_gap"]
    (reason,) = why(Problem((*squad, old), EVENING, 2, within_years=2.0))
    assert (reason.code, reason.about) == ("within_years", ("old",))


def test_first_timers_need_somebody_to_guide_them() -> None:
    new = tuple(Athlete(f"c{at}", kinds=frozenset({"first_timer:yes"} if at else ())) for at in range(6))
    assert codes(Problem(new, EVENING, 2, guided=True)) == ["guided"]


def test_sizes_and_numbers_that_cannot_be() -> None:
    assert codes(replace(TWELVE, sizes=(3, 3, 3, 4))) == ["size"]
    assert codes(replace(TWELVE, sizes=(0, 4, 4, 4))) == ["size"]
    (reason,) = why(replace(TWELVE, groups=13))
    assert (reason.code, reason.way_out) == ("groups", "Make 12 groups.")
    assert why(replace(TWELVE, athletes=()))[0].way_out == "Mark who is here first."
    pairs = tuple(frozenset(TWELVE.ids[at : at + 2]) for at in range(0, 12, 2))
    assert codes(replace(TWELVE, together=pairs, sizes=(3, 3, 3, 3)))[-1] in ("together", "size")


def test_given_sizes_are_met_exactly_and_others_are_equal() -> None:
    kept = keep_rules(replace(TWELVE, sizes=(1, 2, 4, 5)), DEFAULT, 0)
    assert isinstance(kept, Answer)
    assert [len(group) for group in kept.groups] == [1, 2, 4, 5]
    loose = keep_rules(evening(14, 4), DEFAULT, 0)
    assert isinstance(loose, Answer)
    assert sorted(len(group) for group in loose.groups) == [3, 3, 4, 4]


def test_without_time_there_is_no_answer_and_no_blame(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(groups_model, "PROBE", Limit(deterministic=0.0))
    problem = evening(40, 8)
    assert keep_rules(problem, Limit(deterministic=0.0), 0) == ()


def test_where_the_solver_names_no_rules_all_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    run = cpsat.run

    def silent(*args: object, **kwargs: object) -> cpsat.Run:
        return replace(run(*args, **kwargs), core=())  # type: ignore[arg-type]

    monkeypatch.setattr(cpsat, "run", silent)
    pair = frozenset(TWELVE.ids[:2])
    assert codes(replace(TWELVE, together=(pair,), apart=(pair, frozenset(TWELVE.ids[4:6])))) == ["together", "apart"]


def test_a_rule_binds_only_while_it_is_on() -> None:
    pair = frozenset(TWELVE.ids[:2])
    made = Model(replace(TWELVE, together=(pair,), apart=(pair,)))
    assert cpsat.run(made.model, DEFAULT, assume=made.on[:1]).found
    assert cpsat.run(made.model, DEFAULT, assume=made.on[1:]).found
    assert not cpsat.run(made.model, DEFAULT, assume=made.on).found
