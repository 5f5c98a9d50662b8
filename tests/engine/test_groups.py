"""Fair groups from the outside: what a coach may rely on."""

from __future__ import annotations

import random
import subprocess
import sys
from dataclasses import replace
from datetime import timedelta
from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import fairness, groups, limits
from clubapp.engine.fairness import Attribute
from clubapp.engine.groups import Answer, Mode, Problem, company, score, solve, violations
from clubapp.engine.limits import Limit
from clubapp.engine.outcome import Reason, Status
from clubapp.engine.words import Athlete
from tests.strategies import EVENING, children, evening, examples, group_problems

SOLVED = (Status.BEST, Status.GOOD, Status.SIMPLE)
slow = examples(6)


def every_answer(problem: Problem) -> list[Answer]:
    """All groups that keep the rules, by trying everything."""
    found = []
    for seats in product(range(problem.groups), repeat=len(problem.ids)):
        answer = Answer.of(
            [[c for c, g in zip(problem.ids, seats, strict=True) if g == at] for at in range(problem.groups)]
        )
        if len({*seats}) == problem.groups and not violations(problem, answer):
            found.append(answer)
    return found


@slow
@given(group_problems(), st.integers(0, 3))
def test_the_answer_keeps_every_rule_and_its_score_is_the_formula_s(problem: Problem, seed: int) -> None:
    outcome = solve(problem, seed=seed)
    if outcome.answer is None:
        assert outcome.status is Status.IMPOSSIBLE
        assert outcome.reasons
        return
    assert violations(problem, outcome.answer) == []
    assert outcome.score == score(problem, outcome.answer)
    assert 0 <= outcome.bound <= outcome.score
    assert outcome.status in SOLVED
    assert (outcome.status is Status.BEST) == (outcome.bound == outcome.score)


@slow
@given(group_problems(most=6))
def test_best_is_the_best_of_all_and_impossible_is_impossible(problem: Problem) -> None:
    outcome, every = solve(problem), every_answer(problem)
    assert (outcome.answer is None) == (every == [])
    if every:
        assert outcome.status is Status.BEST
        least = min(score(problem, answer) for answer in every)
        assert outcome.score == pytest.approx(least, abs=1e-6)


@slow
@given(group_problems(most=6))
def test_among_equally_fair_groups_the_company_is_the_newest(problem: Problem) -> None:
    problem = replace(problem, balance=(Attribute("skill"),), mode=Mode.EVEN)
    outcome, every = solve(problem), every_answer(problem)
    if outcome.answer is not None:
        fair = [answer for answer in every if score(problem, answer) < outcome.score + 1e-9]
        newest = min(company(problem, answer) for answer in fair)
        assert company(problem, outcome.answer) == pytest.approx(newest)


@slow
@given(group_problems())
def test_a_clash_is_smallest_and_each_way_out_frees_something(problem: Problem) -> None:
    outcome = solve(problem)
    if outcome.answer is not None or outcome.reasons[0].code == "groups":
        return
    only = problem
    for rule in groups.reasons(problem):
        only = only if rule in outcome.reasons or rule.code == "size" else groups.without(only, rule)
    if not any(rule.code == "size" for rule in outcome.reasons):
        only = replace(only, sizes=None) if problem.sizes is None else only
    assert solve(only).status is Status.IMPOSSIBLE
    for rule in outcome.reasons:
        assert rule.way_out
        if rule.code not in ("lock", "size"):
            assert solve(groups.without(only, rule)).status is not Status.IMPOSSIBLE


@slow
@given(group_problems(most=9))
def test_dropping_a_rule_never_makes_the_best_worse(problem: Problem) -> None:
    outcome = solve(problem)
    if outcome.status is not Status.BEST:
        return
    for rule in groups.reasons(problem):
        if rule.code != "size":
            freed = solve(groups.without(problem, rule))
            assert freed.score <= outcome.score + 1e-6


@slow
@given(group_problems(most=9), st.randoms(use_true_random=False))
def test_other_names_and_another_order_change_no_proven_score(problem: Problem, lot: random.Random) -> None:
    names = list(problem.ids)
    lot.shuffle(names)
    new = dict(zip(problem.ids, names, strict=True))
    relabelled = replace(
        problem,
        athletes=tuple(replace(a, id=new[a.id]) for a in lot.sample(problem.athletes, len(problem.athletes))),
        together=tuple(frozenset(new[child] for child in rule) for rule in problem.together),
        apart=tuple(frozenset(new[child] for child in rule) for rule in problem.apart),
        locks=tuple((new[child], at) for child, at in problem.locks),
        met={},
    )
    one, other = solve(problem), solve(relabelled)
    assert one.status is other.status
    assert one.score == pytest.approx(other.score, abs=1e-6)


@pytest.mark.parametrize("mode", Mode)
def test_an_evening_s_groups_are_proven_and_no_plain_answer_is_better(mode: Mode, big: bool) -> None:
    for sizes in ((25, 6), (23, 4), (24, 4), (26, 5))[: 4 if big else 1]:
        problem = replace(evening(*sizes, seed=2), mode=mode)
        outcome = solve(problem)
        assert outcome.answer is not None
        assert outcome.status is Status.BEST
        assert violations(problem, outcome.answer) == []
        free = replace(problem, together=(), apart=(), not_alone=())
        best = solve(free)
        for plain in (groups.count_off(free), groups.serpentine(free)):
            assert best.score <= score(free, plain)
        assert best.score <= outcome.score + 1e-6


@pytest.mark.parametrize(("count", "number"), [(48, 8), (60, 4)])
@pytest.mark.parametrize("mode", Mode)
def test_a_large_squad_gets_good_groups_with_a_bound(count: int, number: int, mode: Mode) -> None:
    problem = replace(evening(count, number, seed=1), mode=mode)
    outcome = solve(problem, limit=limits.QUICK)
    assert outcome.answer is not None
    assert violations(problem, outcome.answer) == []
    assert 0 < outcome.bound <= outcome.score
    assert outcome.score < min(score(problem, groups.count_off(problem)), score(problem, groups.serpentine(problem)))


def test_many_children_in_many_groups_keep_their_rules() -> None:
    problem = evening(120, 20, seed=1)
    outcome = solve(problem, limit=limits.QUICK)
    assert outcome.answer is not None
    assert violations(problem, outcome.answer) == []
    lot, ids, best = random.Random(7), list(problem.ids), float("inf")
    for _ in range(50):
        lot.shuffle(ids)
        best = min(best, score(problem, Answer.of([ids[at::20] for at in range(20)])))
    assert outcome.score < best / 3


def test_the_careful_limit_proves_the_same() -> None:
    problem = evening(24, 4)
    careful = solve(problem, limit=Limit(deterministic=4.0, wall_seconds=20.0))
    assert careful.status is Status.BEST
    assert careful.score == pytest.approx(solve(problem).score, abs=1e-6)


CROSS = """
from clubapp.engine import limits
from clubapp.engine.groups import solve
from tests.strategies import evening
for size in {sizes}:
    print(solve(evening(*size), seed=4, limit=limits.QUICK).answer)
"""


def test_another_process_gives_the_same_answer() -> None:
    """One squad that is proven and one that is not, under hashes of its own."""
    sizes = ((16, 4), (48, 8))
    run = subprocess.run(
        [sys.executable, "-c", CROSS.format(sizes=sizes)],
        capture_output=True, text=True, check=True, env={"PYTHONHASHSEED": "1"},
    )  # fmt: skip
    here = [solve(evening(*size), seed=4, limit=limits.QUICK).answer for size in sizes]
    assert run.stdout.splitlines() == [str(answer) for answer in here]


@pytest.mark.parametrize("mode", Mode)
def test_a_group_s_number_tells_nothing_on_ability(mode: Mode, big: bool) -> None:
    problem = Problem(children(8, 3), EVENING, 4, mode=mode)
    able = dict(zip(problem.ids, fairness.ability(problem.athletes, EVENING, problem.balance), strict=True))
    seeds = 1000 if big else 24
    means = np.zeros((seeds, 4))
    for seed in range(seeds):
        answer = solve(problem, seed=seed, limit=Limit(deterministic=0.05)).answer
        assert answer is not None
        means[seed] = [np.mean([able[child] for child in group]) for group in answer.groups]
    numbers = np.tile(np.arange(4.0), (seeds, 1))
    # Under chance alone the correlation has a deviation of 1 / root of the count; four of those are one in 16,000.
    assert abs(np.corrcoef(numbers.ravel(), means.ravel())[0, 1]) < 4 / np.sqrt(means.size)
    assert {int(np.argmax(row)) for row in means} == {0, 1, 2, 3}


def test_bibs_are_drawn_by_lot() -> None:
    drawn = {groups.name_order(3, seed) for seed in range(60)}
    assert len(drawn) == 6
    assert groups.name_order(3, 1) == groups.name_order(3, 1)


def test_locks_and_sizes_are_kept_and_numbers_change_only_among_equal_sizes() -> None:
    problem = replace(evening(24, 4), together=(), apart=(), not_alone=(), sizes=(4, 6, 6, 8))
    problem = replace(problem, locks=((problem.ids[0], 3), (problem.ids[1], 1), (problem.ids[2], 1)))
    for seed in range(2):
        outcome = solve(problem, seed=seed, limit=Limit(deterministic=0.1))
        assert outcome.answer is not None
        assert violations(problem, outcome.answer) == []


def test_a_start_that_is_best_is_not_made_worse_and_one_of_strangers_is_ignored() -> None:
    problem = evening(12, 3)
    best = solve(problem)
    again = solve(problem, start=best.answer)
    assert again.score == pytest.approx(best.score, abs=1e-9)
    assert solve(problem, start=Answer((("nobody",), (), ()))).score == pytest.approx(best.score, abs=1e-9)


def test_nothing_to_balance_and_one_group_are_perfect() -> None:
    problem = Problem(children(30), EVENING, 5, balance=())
    assert (solve(problem).status, solve(problem).score) == (Status.BEST, 0.0)
    assert (solve(replace(problem, groups=1)).status, solve(replace(problem, groups=1)).score) == (Status.BEST, 0.0)
    alike = Problem(children(30), EVENING, 1, mode=Mode.LIKE)
    assert solve(alike).score == pytest.approx(1.0)
    same = Problem(tuple(Athlete(f"c{at}") for at in range(6)), EVENING, 2, mode=Mode.LIKE)
    assert solve(same).score == 0.0


def test_company_counts_in_large_squads_too() -> None:
    problem = Problem(children(70), EVENING, 2, balance=(Attribute("skill"),))
    pairs = list(combinations(problem.ids[:8], 2))
    outcome = solve(replace(problem, met=dict.fromkeys(pairs, 1.0)))
    assert outcome.answer is not None
    assert company(replace(problem, met=dict.fromkeys(pairs, 1.0)), outcome.answer) <= 14  # 12 is the least
    assert outcome.score == pytest.approx(solve(problem).score, abs=1e-9)


def test_a_search_that_finds_nothing_better_says_it_is_the_plain_answer() -> None:
    athletes = tuple(Athlete(f"c{at:02}", {"skill": 1.0 + at / 7}) for at in range(64))
    problem = Problem(athletes, EVENING, 2, balance=(Attribute("skill"),), sizes=(31, 33))
    outcome = solve(problem, limit=Limit(deterministic=0.0))
    assert outcome.status in (Status.SIMPLE, Status.GOOD)
    start = solve(problem, limit=limits.QUICK)
    again = solve(problem, limit=Limit(deterministic=0.0), start=start.answer)
    assert again.score <= start.score + 1e-12
    assert again.status is (Status.BEST if start.status is Status.BEST else Status.SIMPLE)


def test_where_search_finds_no_way_the_solver_does() -> None:
    """Nine pairs and nine singles in threes: every trio must be a pair and one child it may stand with."""
    athletes = children(27, 5)
    ids = [athlete.id for athlete in athletes]
    pairs = [frozenset(ids[at : at + 2]) for at in range(0, 18, 2)]
    apart = [
        frozenset((single, min(pair))) for s, single in enumerate(ids[18:]) for p, pair in enumerate(pairs) if s != p
    ]
    problem = Problem(athletes, EVENING, 9, together=tuple(pairs), apart=tuple(apart))
    outcome = solve(problem, limit=limits.QUICK)
    assert outcome.answer is not None
    assert violations(problem, outcome.answer) == []
    assert {frozenset(group) for group in outcome.answer.groups} == {
        pair | {single} for pair, single in zip(pairs, ids[18:], strict=True)
    }


def test_a_rule_s_cost_is_what_the_groups_would_gain_without_it() -> None:
    problem = evening(12, 3, seed=4)
    outcome = solve(problem)
    costs = groups.rule_costs(problem, outcome)
    assert [cost.rule for cost in costs] == list(groups.reasons(problem))
    for cost in costs:
        assert cost.proven
        freed = solve(groups.without(problem, cost.rule))
        assert cost.cost == pytest.approx(outcome.score - freed.score, abs=1e-6)
        assert groups.score(problem, cost.freed) == pytest.approx(freed.score, abs=1e-6)
    assert max(cost.cost for cost in costs) > 0


def test_only_the_rules_asked_for_are_costed_and_the_one_on_ages_as_a_whole() -> None:
    problem = replace(evening(12, 3), within_years=2.0)
    outcome = solve(problem)
    everybody = Reason("within_years", "")
    (cost,) = groups.rule_costs(problem, outcome, rules=[everybody])
    assert cost.rule == everybody
    freed = solve(replace(problem, within_years=None))
    assert cost.cost == pytest.approx(max(0.0, outcome.score - freed.score), abs=1e-6)


def test_an_impossible_problem_has_no_costs() -> None:
    problem = replace(evening(6, 3), together=(frozenset(evening(6, 3).ids),))
    outcome = solve(problem)
    assert outcome.status is Status.IMPOSSIBLE
    assert groups.rule_costs(problem, outcome) == ()


@pytest.mark.parametrize(
    ("children_here", "stations", "adults", "expected"),
    [
        (24, 6, 6, 5),
        (24, 4, 6, 4),
        (24, 6, 3, 3),
        (24, 6, 0, 5),
        (24, 0, 0, 5),
        (24, 6, 1, 3),
        (7, 6, 6, 1),
        (2, 6, 6, 1),
        (0, 6, 6, 1),
        (60, 6, 9, 8),
    ],
)
def test_how_many_groups(children_here: int, stations: int, adults: int, expected: int) -> None:
    assert groups.suggest_group_count(children_here, stations, adults) == expected


def test_children_of_one_age_band_can_be_far_from_everybody() -> None:
    old = Athlete("old", {"skill": 3.0}, born=EVENING - timedelta(days=6500))
    young = [Athlete(f"c{at:02}", {"skill": at % 5}, born=EVENING - timedelta(days=3000 + 40 * at)) for at in range(11)]
    outcome = solve(Problem((*young, old), EVENING, 3, within_years=2.0))
    assert [(reason.code, reason.about) for reason in outcome.reasons] == [("within_years", ("old",))]
    assert solve(groups.without(Problem((*young, old), EVENING, 3, within_years=2.0), outcome.reasons[0])).answer


def test_a_lock_on_a_group_that_is_not_there_is_named() -> None:
    problem = Problem(children(6), EVENING, 2, locks=(("c001", 1), ("c002", 2)))
    assert [reason.about for reason in solve(problem).reasons] == [("c002", "2")]


def test_what_boxes_leave_unproven_is_proven_by_all_sets(monkeypatch: pytest.MonkeyPatch) -> None:
    """More sets than are looked at at once, and still few enough for the proof."""
    problem = Problem(children(12, 4), EVENING, 3)
    straight = solve(problem)
    monkeypatch.setattr(groups, "MANY", 0)
    monkeypatch.setattr(groups, "evened", lambda _rows, seats, *_: (seats, False))
    outcome = solve(problem)
    assert outcome.status is straight.status is Status.BEST
    assert outcome.score == pytest.approx(straight.score)
