"""New groups each round: who meets whom, how fair it is, and the rules kept."""

from __future__ import annotations

import math
import random
import subprocess
import sys
from dataclasses import replace
from datetime import date
from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import fairness, mixing
from clubapp.engine.limits import Limit
from clubapp.engine.mixing import Aim, Answer, Problem, report, score, solve, violations
from clubapp.engine.mixing_ground import answer_of, ground_of
from clubapp.engine.mixing_placing import placed
from clubapp.engine.mixing_repeats import least_repeats
from clubapp.engine.outcome import Status
from clubapp.engine.words import Athlete
from tests.strategies import examples

AIMS = st.sampled_from(Aim)
DAY = date(2016, 4, 9)
SHORT = Limit(deterministic=0.1)


def children(count: int, seed: int = 1) -> tuple[Athlete, ...]:
    lot = random.Random(seed)
    made = []
    for at in range(count):
        born = date(lot.randint(2002, 2009), lot.randint(1, 12), lot.randint(1, 28))
        values = {"speed_s": 6 + 0.25 * (born.year - 2002) + lot.random(), "skill": float(lot.randint(1, 5))}
        made.append(Athlete(f"c{at:02}", values, born=born))
    return tuple(made)


def solved(problem: Problem, limit: Limit = SHORT) -> Answer:
    outcome = solve(problem, limit=limit)
    assert outcome.answer is not None
    assert violations(problem, outcome.answer) == []
    assert outcome.score == score(problem, outcome.answer)
    assert outcome.bound <= outcome.score
    return outcome.answer


def test_twenty_four_in_fours_over_seven_rounds_meet_nobody_twice() -> None:
    problem = Problem(children(24), DAY, 6, 7)
    met = report(problem, solved(problem))
    assert (met.repeats, met.least, met.most) == (0, 21, 21)


def test_the_placing_is_well_under_a_placing_by_lot(big: bool) -> None:
    problem = Problem(children(24), DAY, 6, 7)
    table, ground = mixing.table_for(problem), ground_of(problem)
    assert table is not None
    lot = np.random.default_rng(0)
    by_lot = [ground.fairness(table[:, lot.permutation(24)]).max() for _ in range(1000)]
    found = ground.fairness(placed(ground, table, 200_000 if big else 10_000, 0)).max()
    assert found < 0.7 * np.mean(by_lot)
    assert found < min(by_lot)


def test_kirkmans_fifteen_meet_everybody() -> None:
    problem = Problem(children(15), DAY, 5, 7)
    met = report(problem, solved(problem))
    assert (met.repeats, met.least, met.most) == (0, 14, 14)


@pytest.mark.parametrize(("count", "groups", "rounds"), [(23, 6, 7), (22, 6, 5), (14, 5, 7), (12, 6, 11), (11, 6, 4)])
def test_a_table_serves_fewer_children_too(count: int, groups: int, rounds: int) -> None:
    problem = Problem(children(count), DAY, groups, rounds)
    assert mixing.table_for(problem) is not None
    assert report(problem, solved(problem)).repeats == 0


@pytest.mark.parametrize(
    ("count", "groups", "rounds"), [(24, 4, 3), (24, 6, 8), (18, 6, 3), (13, 5, 7), (5, 5, 2), (6, 1, 2)]
)
def test_where_no_table_fits_there_is_still_an_answer(count: int, groups: int, rounds: int) -> None:
    problem = Problem(children(count), DAY, groups, rounds)
    assert mixing.table_for(problem) is None
    assert report(problem, solved(problem)).repeats >= least_repeats(problem)


def test_the_fairness_is_the_one_score() -> None:
    problem = Problem(children(12), DAY, 4, 3)
    answer = solved(problem)
    first = fairness.report(problem.athletes, DAY, problem.balance, answer.rounds[0])
    seats = np.array([[next(n for n, g in enumerate(groups) if child in g) for child in problem.ids]
                      for groups in answer.rounds])  # fmt: skip
    assert report(problem, answer).fairness[0] == first.score
    assert ground_of(problem).fairness(seats) == pytest.approx(report(problem, answer).fairness)
    assert answer_of(problem, seats) == answer


def test_pair_rules_are_kept_with_a_table_and_without() -> None:
    apart = (frozenset({"c00", "c01"}), frozenset({"c02", "c03", "zz"}))
    table = Problem(children(24), DAY, 6, 5, apart=apart)
    assert mixing.table_for(table) is not None
    solved(table)
    together = Problem(children(12), DAY, 3, 3, together=(frozenset({"c04", "c05"}),), apart=apart)
    answer = solved(together, Limit(deterministic=0.5))
    met = report(together, answer)
    assert met.held == 2
    assert met.repeats + met.held == sum(times - 1 for times in mixing.meetings(answer).values())


def test_only_the_rules_that_clash_are_told_and_each_way_out_works() -> None:
    both = frozenset({"c00", "c01"})
    problem = Problem(
        children(6), DAY, 2, 2, together=(both,), apart=(frozenset({"c03", "c04"}), both, frozenset({"c02"})),
        names={"c00": "Ada"},
    )  # fmt: skip
    outcome = solve(problem, limit=SHORT)
    assert (outcome.answer, outcome.status) == (None, Status.IMPOSSIBLE)
    assert [reason.text for reason in outcome.reasons] == [
        "Ada and c01 are to stay together.", "Ada and c01 are to be kept apart.",
    ]  # fmt: skip
    assert outcome.reasons[1].way_out == "Let Ada and c01 be in one group."
    for reason in outcome.reasons:
        solved(mixing.without(problem, reason))


def test_nobody_of_a_kind_is_alone_and_everybody_has_company_of_age() -> None:
    athletes = tuple(
        replace(one, kinds=frozenset({"sex:f"} if at % 3 else {"sex:m"})) for at, one in enumerate(children(24))
    )
    problem = Problem(athletes, DAY, 6, 5, not_alone=("sex:f", "sex:m"), within_years=3.0)
    free = replace(problem, not_alone=(), within_years=None)
    assert violations(problem, solved(free))
    met = report(problem, solved(problem, Limit(deterministic=1.0)))
    assert met.least >= 8


def test_kinds_are_kept_on_a_table_too() -> None:
    """Fifteen of 24 are of one kind, nine of the other: some placing on the table leaves nobody alone."""
    athletes = tuple(replace(one, kinds=frozenset({"k"} if at < 15 else {})) for at, one in enumerate(children(24)))
    problem = Problem(athletes, DAY, 6, 3, not_alone=("k",))
    assert report(problem, solved(problem, Limit(deterministic=1.0))).repeats == 0


def test_two_of_a_kind_are_together_in_every_round_and_that_is_no_repeat() -> None:
    athletes = tuple(replace(one, kinds=frozenset({"new"} if at < 2 else {})) for at, one in enumerate(children(8)))
    problem = Problem(athletes, DAY, 2, 3, not_alone=("new",))
    answer = solved(problem, Limit(deterministic=0.5))
    assert mixing.meetings(answer)["c00", "c01"] == 3
    assert problem.held == {("c00", "c01")}
    assert ("c00", "c01") not in {pair for pair, times in mixing.meetings(answer).items() if times == 1}


def test_a_table_with_too_few_rounds_is_gone_on_from() -> None:
    problem = Problem(children(24), DAY, 6, 8)
    # Seven rounds of the table and one more, which must repeat three meetings in each of its groups.
    assert report(problem, solved(problem, Limit(deterministic=1.0))).repeats <= 20


def test_where_the_solver_cannot_say_the_search_still_tries(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mixing, "one_round", lambda problem, seed: ())
    apart = tuple(frozenset({f"c{at:02}", f"c{at + 4:02}"}) for at in range(4))
    problem = Problem(children(8), DAY, 2, 2, apart=apart)
    assert violations(problem, mixing.plain(problem))
    solved(problem)
    both = frozenset({"c00", "c01"})
    clash = replace(problem, apart=(both,), together=(both,))
    assert [reason.code for reason in solve(clash, limit=SHORT).reasons] == ["time"]


def test_both_ends_of_the_trade() -> None:
    problem = Problem(children(24), DAY, 6, 7)
    mixed, fair = mixing.trade(problem, limit=Limit(deterministic=0.5))
    assert mixed.answer is not None
    assert fair.answer is not None
    one, other = report(problem, mixed.answer), report(problem, fair.answer)
    assert one.repeats < other.repeats
    assert max(one.fairness) > max(other.fairness)


def test_nothing_to_balance_and_nobody_twice_is_proven_best() -> None:
    problem = Problem(children(16), DAY, 4, 5, balance=())
    outcome = solve(problem, limit=SHORT)
    assert (outcome.status, outcome.score, outcome.bound) == (Status.BEST, 0.0, 0.0)


def test_a_start_is_kept_when_nothing_is_better() -> None:
    problem = Problem(children(24), DAY, 6, 7)
    best = solved(problem, Limit(deterministic=0.5))
    assert solve(problem, limit=Limit(deterministic=0.001), start=best).score <= score(problem, best)
    other = replace(problem, rounds=6)
    assert solve(other, limit=SHORT, start=best).answer is not None


def test_same_seed_same_answer_in_another_process() -> None:
    code = (
        "from tests.engine.test_mixing import *\n"
        "print(solve(Problem(children(13), DAY, 4, 3), limit=SHORT, seed=4).answer)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == str(solve(Problem(children(13), DAY, 4, 3), limit=SHORT, seed=4).answer)


def test_repeats_that_cannot_be_avoided() -> None:
    # Six from four groups: two pairs of old mates at least, in each of four groups.
    assert least_repeats(Problem(children(24), DAY, 4, 2)) == 8
    assert least_repeats(Problem(children(24), DAY, 6, 7)) == 0
    assert least_repeats(Problem(children(4), DAY, 2, 4)) == 2
    assert least_repeats(Problem(children(4), DAY, 1, 3)) == 12


def ways(ids: tuple[str, ...], sizes: tuple[int, ...]) -> list[tuple[tuple[str, ...], ...]]:
    """Every round there can be, groups in any order."""
    if not sizes:
        return [()]
    return [
        (group, *rest)
        for group in combinations(ids, sizes[0])
        for rest in ways(tuple(child for child in ids if child not in group), sizes[1:])
    ]


def every_answer(problem: Problem) -> list[Answer]:
    return [Answer(turns) for turns in product(ways(problem.ids, problem.sizes), repeat=problem.rounds)]


@pytest.mark.parametrize("aim", Aim)
@pytest.mark.parametrize("count", [5, 6])
def test_small_ones_against_every_answer(aim: Aim, count: int) -> None:
    problem = Problem(children(count, 3), DAY, 2, 2, aim=aim)
    best = min(score(problem, answer) for answer in every_answer(problem))
    outcome = solve(problem, limit=Limit(deterministic=0.5))
    assert outcome.score == pytest.approx(best)
    assert outcome.bound <= best


@examples(4)
@given(st.integers(0, 30), st.sampled_from([(4, 2, 2), (4, 2, 3), (5, 2, 2), (3, 3, 2)]), AIMS, st.data())
def test_a_rule_less_is_never_worse_and_names_do_not_matter(
    seed: int, shape: tuple[int, int, int], aim: Aim, data: st.DataObject
) -> None:
    count, groups, rounds = shape
    kinds = [frozenset({"k"} if at < 2 else {}) for at in range(count)]
    athletes = tuple(replace(one, kinds=kind) for one, kind in zip(children(count, seed), kinds, strict=True))
    full = Problem(
        athletes, DAY, groups, rounds, together=(frozenset({"c00", "c01"}),), apart=(frozenset({"c00", "c02"}),),
        not_alone=("k",), within_years=4.0, aim=aim,
    )  # fmt: skip
    less = mixing.without(full, data.draw(st.sampled_from(mixing.reasons(full))))
    limit = Limit(deterministic=0.5)
    first, second = solve(full, limit=limit), solve(less, limit=limit)
    best = min((score(less, answer) for answer in every_answer(less) if not violations(less, answer)), default=math.inf)
    assert second.score == pytest.approx(best)
    assert second.score <= first.score + 1e-9
    other = {child: f"x{9 - at}" for at, child in enumerate(full.ids)}
    renamed = replace(
        full, athletes=tuple(replace(one, id=other[one.id]) for one in reversed(athletes)),
        together=(frozenset({other["c00"], other["c01"]}),), apart=(frozenset({other["c00"], other["c02"]}),),
    )  # fmt: skip
    again = solve(renamed, limit=limit)
    assert (again.status, again.score) == (first.status, pytest.approx(first.score))
    assert again.bound == pytest.approx(first.bound)


@examples(4)
@given(st.integers(2, 13), st.data())
def test_every_child_is_in_one_group_in_every_round(count: int, data: st.DataObject) -> None:
    groups, rounds = data.draw(st.integers(1, count)), data.draw(st.integers(1, 4))
    problem = Problem(children(count), DAY, groups, rounds, aim=data.draw(st.sampled_from(Aim)))
    outcome = solve(problem, limit=Limit(deterministic=0.02))
    assert outcome.answer is not None
    assert violations(problem, outcome.answer) == []
    assert outcome.score == score(problem, outcome.answer) >= outcome.bound


def test_what_is_broken_is_said() -> None:
    problem = Problem(children(4), DAY, 2, 2, together=(frozenset({"c00", "c01"}),), apart=(frozenset({"c02", "c03"}),))
    wrong = Answer(((("c00", "c02"), ("c01", "c03")), (("c00", "c01", "c02"), ("c03", "c03"))))
    said = "\n".join(violations(replace(problem, rounds=3), wrong))
    for words in ("to be 3 rounds", "round 1 parts them", "round 2 not every child", "not as equal in size"):
        assert words in said
    assert "c02 and c03 are to be kept apart; round 1 does not." in "\n".join(
        violations(problem, Answer(((("c00", "c01"), ("c02", "c03")),) * 2))
    )


@pytest.mark.parametrize("wrong", [{"groups": 0}, {"groups": 5}, {"rounds": 0}, {"athletes": children(2) * 2}])
def test_figures_out_of_range_are_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"same id|must be a round"):
        replace(Problem(children(4), DAY, 2, 2), **wrong)  # type: ignore[arg-type]
