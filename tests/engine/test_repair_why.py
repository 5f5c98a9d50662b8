"""Who moves and why, and who misses what."""

from __future__ import annotations

from dataclasses import replace

from clubapp.engine.repair import (
    GoEasy,
    Left,
    Merged,
    second_best,
)
from tests.engine.repairs import running, solved, with_changes


def test_of_groups_alike_in_size_the_fairest() -> None:
    answer = solved(running(12, 3, late=1))
    assert [move.why.code for move in answer.placed] == ["fair"]


def test_the_only_group() -> None:
    answer = solved(running(4, 1, late=1))
    assert [move.why.text for move in answer.placed] == ["There is no other group."]


def test_who_is_left_alone_of_a_kind_gets_company() -> None:
    kinds = frozenset({"sex:f"})
    problem = running(12, 3)
    girls = {problem.groups.groups[0][0], problem.groups.groups[0][1], *problem.groups.groups[1][:2]}
    athletes = tuple(replace(a, kinds=kinds if a.id in girls else frozenset()) for a in problem.rules.athletes)
    rules = replace(problem.rules, athletes=athletes, not_alone=("sex:f",))
    answer = solved(with_changes(replace(problem, rules=rules), Left(problem.groups.groups[0][0])))
    assert len(answer.moves) == 2  # she changes places with somebody: one move would leave two, five and four
    assert "not_alone" in {move.why.code for move in answer.moves}


def test_a_second_best_may_be_fairer_with_more_moved() -> None:
    problem = with_changes(running(), Left("c003"))
    other = second_best(problem, solved(problem))
    assert other is not None
    assert other.answer is not None
    assert other.answer.moves[0].why.code in ("fair", "size")


def test_a_group_given_up_goes_to_the_others() -> None:
    problem = with_changes(running(), Merged(1))
    answer = solved(problem)
    assert answer.groups.groups[1] == ()
    assert {move.athlete for move in answer.moves} == set(problem.groups.groups[1])
    assert {move.why.code for move in answer.moves} == {"merged"}
    assert [answer.rotation.station_of("Blue", turn) is None for turn in (1, 2, 3, 4)] == [False, True, True, True]
    assert sorted(map(len, answer.groups.groups)) == [0, 6, 6]


def test_going_easy_leaves_out_what_is_hard() -> None:
    problem = running()
    child = problem.groups.groups[0][0]
    answer = solved(with_changes(problem, GoEasy(child)))
    assert answer.moves == ()
    to_come = [problem.rotation.station_of("Red", turn) for turn in (2, 3, 4)]
    assert {one.station for one in answer.owed} == {"A", "C"} & {where for where in to_come if where}
    assert {one.athlete for one in answer.owed} == {child}


def test_why_a_late_child_goes_where_it_goes() -> None:
    problem = running(12, 3, late=1)
    late, foes = next(iter(problem.late)), [group[0] for group in problem.groups.groups[:2]]
    rules = replace(problem.rules, apart=tuple(frozenset({late, foe}) for foe in foes))
    assert [move.why.code for move in solved(replace(problem, rules=rules)).placed] == ["only"]
    smaller = solved(with_changes(problem, Left(problem.groups.groups[1][0])))
    assert [(move.now, move.why.code) for move in smaller.placed] == [(1, "size")]


def test_who_moves_for_the_sake_of_sizes() -> None:
    problem = running(12, 3)
    answer = solved(with_changes(problem, *map(Left, problem.groups.groups[0][1:])))
    assert [move.why.code for move in answer.moves] == ["size"]
