"""Who moves: the rules kept, as few as can be, sizes near, then the fairest."""

from __future__ import annotations

from dataclasses import replace

from clubapp.engine import groups as engine_groups
from clubapp.engine import repair_groups
from clubapp.engine.limits import DEFAULT
from clubapp.engine.outcome import Status
from clubapp.engine.repair import (
    Left,
    Merged,
    effort,
    solve,
    violations,
)
from clubapp.engine.repair_groups import Found, Hunt
from tests.engine.repairs import NO_TIME, group_of, running, solved, with_changes


def test_a_late_child_goes_where_rules_are_kept_and_nobody_else_moves() -> None:
    problem = running(12, 3, late=1)
    late = next(iter(problem.late))
    foes = [group[0] for group in problem.groups.groups[:2]]
    ruled = replace(problem, rules=replace(problem.rules, apart=tuple(frozenset({late, foe}) for foe in foes)))
    answer = solved(ruled)
    assert group_of(answer, late) == 2
    assert answer.moves == ()
    assert [move.why.code for move in answer.placed] == ["only"]


def test_the_smallest_group_takes_the_late_child() -> None:
    problem = running(12, 3, late=1)
    answer = solved(with_changes(problem, Left(problem.groups.groups[1][0])))
    assert [(move.now, move.why.code) for move in answer.placed] == [(1, "size")]


def test_sizes_too_unequal_are_mended_with_few_moves() -> None:
    problem = running(12, 3)
    gone = tuple(Left(child) for child in problem.groups.groups[0][1:])
    answer = solved(with_changes(problem, *gone))
    assert [move.why.code for move in answer.moves] == ["size"]
    assert effort(replace(problem, changes=gone), answer.groups).moved == 1


def test_sizes_the_coach_made_unequal_are_left_alone() -> None:
    problem = running(12, 3)
    one, two, three = problem.groups.groups
    by_hand = engine_groups.Answer.of([one[:1], (*two, *one[1:]), three])
    assert solved(with_changes(replace(problem, groups=by_hand), Left(three[0]))).moves == ()


def test_a_group_given_up_into_a_named_one() -> None:
    problem = with_changes(running(), Merged(1, into=(2,)))
    answer = solved(problem)
    assert [len(group) for group in answer.groups.groups] == [4, 0, 8]
    assert effort(problem, answer.groups).uneven == 0


def test_two_groups_given_up_one_of_them_named_by_the_other() -> None:
    answer = solved(with_changes(running(), Merged(1, into=(2,)), Merged(2)))
    assert [len(group) for group in answer.groups.groups] == [12, 0, 0]


def test_a_lock_in_a_group_given_up_is_gone() -> None:
    problem = running()
    locked = replace(problem.rules, locks=((problem.groups.groups[1][0], 1),))
    solved(with_changes(replace(problem, rules=locked), Merged(1)))


def test_a_locked_group_is_left_alone_as_long_as_another_is_open() -> None:
    problem = running(12, 3, late=1)
    open_ones = {group_of(solved(replace(problem, shut=frozenset({shut}))), "c012") for shut in range(3)}
    assert len(open_ones) > 1
    for shut in range(3):
        assert group_of(solved(replace(problem, shut=frozenset({shut}))), "c012") != shut
    solved(replace(problem, shut=frozenset({0, 1, 2})))


def test_rules_that_clash_come_back_as_the_fewest() -> None:
    problem = running(12, 3, late=1)
    everywhere = tuple(frozenset({"c012", group[0]}) for group in problem.groups.groups[:2])
    locks = tuple((group[0], index) for index, group in enumerate(problem.groups.groups))
    rules = replace(problem.rules, apart=everywhere, locks=locks, not_alone=("sex:f",))
    done = solve(replace(problem, rules=rules, shut=frozenset({2})))
    assert done.status is Status.IMPOSSIBLE
    assert sorted(reason.code for reason in done.reasons) == ["apart", "apart", "lock", "lock", "shut"]
    assert {reason.way_out for reason in done.reasons if reason.code == "shut"} == {"Unlock Green."}


def test_bands_of_ability_take_the_late_child_that_is_like_them() -> None:
    problem = running(12, 3, late=1)
    bands = replace(problem.rules, mode=engine_groups.Mode.LIKE)
    cut = engine_groups.solve(replace(bands, athletes=bands.athletes[:12])).answer
    assert cut is not None
    problem = replace(problem, rules=bands, groups=cut)
    done = solve(problem)
    assert done.status is Status.GOOD
    assert done.answer is not None
    assert violations(problem, done.answer) == []
    best = min(problem.alive, key=lambda g: engine_groups.score(problem.here, _joined(cut, "c012", g)))
    assert group_of(done.answer, "c012") == best


def _joined(answer: engine_groups.Answer, child: str, index: int) -> engine_groups.Answer:
    return engine_groups.Answer.of(
        [(*group, child) if at == index else group for at, group in enumerate(answer.groups)]
    )


def test_nothing_to_balance() -> None:
    problem = running(12, 3, late=1)
    solved(
        replace(
            problem,
            rules=replace(
                problem.rules, balance=(engine_groups.BALANCE[0], replace(engine_groups.BALANCE[1], weight=0.0))
            ),
        )
    )
    alike = tuple(replace(athlete, values={"speed_s": 6.0}) for athlete in problem.rules.athletes)
    solved(replace(problem, rules=replace(problem.rules, athletes=alike, balance=engine_groups.BALANCE[:1])))


def test_no_time_for_the_proof() -> None:
    problem = with_changes(running(20, 4, late=4), Left("c001"), Left("c002"))
    done = solve(problem, limit=NO_TIME)
    assert done.status is Status.GOOD
    assert done.answer is not None
    assert violations(problem, done.answer) == []
    assert done.bound <= done.score
    again = solve(problem, start=done.answer)
    assert again.score <= done.score


def test_wrong_groups_are_told() -> None:
    problem = with_changes(running(12, 3, late=1, shut=frozenset({2})), Merged(0))
    _empty, one, two = solved(problem).groups.groups

    def complaints(*groups: tuple[str, ...]) -> str:
        return " ".join(repair_groups.violations(problem, engine_groups.Answer.of(groups)))

    assert complaints((), one, two) == ""
    assert "given up" in complaints(one[:1], one[1:], two)
    assert "locked" in complaints((), tuple(child for child in one if child != "c012"), (*two, "c012"))


def test_the_second_best_is_other_groups() -> None:
    problem = running(12, 3, late=1)
    first = solved(problem)
    other = repair_groups.best(Hunt(problem, DEFAULT, 0, first.groups, barred=(first.groups,)))
    assert isinstance(other, Found)
    assert other.answer != first.groups
    assert repair_groups.violations(problem, other.answer) == []
    assert repair_groups.score(problem, other.answer) >= repair_groups.score(problem, first.groups)
