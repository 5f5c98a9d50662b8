"""A running plan that must change: the past frozen, rules kept, few moved; against every answer there is."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from clubapp.engine import groups as engine_groups
from clubapp.engine import rotation as engine_rotation
from clubapp.engine import words
from clubapp.engine.limits import Limit
from clubapp.engine.outcome import Status
from clubapp.engine.repair import (
    AdultGone,
    Answer,
    Closed,
    GoEasy,
    Late,
    Left,
    Lost,
    Merged,
    Problem,
    Way,
    effort,
    score,
    second_best,
    solve,
    violations,
    ways,
)
from clubapp.engine.timetable import Entry, Kind
from tests.engine.repairs import problems, running, scores, with_changes
from tests.strategies import evening

SLOW = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
NO_TIME = Limit(deterministic=1e-9)


def solved(problem: Problem) -> Answer:
    """The answer, which keeps everything."""
    done = solve(problem)
    assert done.answer is not None, done.reasons
    assert violations(problem, done.answer) == []
    assert done.score == score(problem, done.answer)
    return done.answer


def group_of(answer: Answer, child: str) -> int:
    return next(index for index, group in enumerate(answer.groups.groups) if child in group)


# --- against every answer there is


@SLOW
@given(problems())
def test_nobody_moves_who_need_not_and_nothing_is_fairer(problem: Problem) -> None:
    done, every = solve(problem), scores(problem) if problem.alive else []
    if done.answer is None:
        assert done.status is Status.IMPOSSIBLE
        assert done.reasons
        too_short = problem.way is not None and [reason.code for reason in done.reasons] == ["minutes"]
        assert too_short or not every
        return
    assert violations(problem, done.answer) == []
    assert done.score == pytest.approx(every[0], abs=2e-6)
    assert done.bound <= done.score
    assert len(done.answer.groups.groups) == len(problem.groups.groups)


@SLOW
@given(problems(most=6))
def test_the_second_best_is_the_second_of_all(problem: Problem) -> None:
    first = solve(problem).answer
    if first is None or not (problem.left or problem.late or problem.merged):
        return
    problem = replace(problem, way=None)
    second, every = second_best(problem, first), scores(problem)
    assert (second is None) == (len(every) == 1)
    if second is not None and second.answer is not None:
        assert second.answer.groups != first.groups
        assert violations(problem, second.answer) == []
        assert second.score == pytest.approx(every[1], abs=2e-6)


@SLOW
@given(problems())
def test_the_past_is_frozen(problem: Problem) -> None:
    answer = solve(problem).answer
    if answer is None:
        return
    past = problem.at_round - 1
    assert answer.rotation.rounds[:past] == problem.rotation.rounds[:past]

    def before(entries: tuple[Entry, ...]) -> list[Entry]:
        return [entry for entry in entries if entry.kind is Kind.WORK and (entry.round or 0) <= past]

    assert before(answer.hours.entries) == before(problem.hours.entries)


@settings(max_examples=15, deadline=None)
@given(problems(), st.integers(0, 99))
def test_the_same_seed_gives_the_same_answer(problem: Problem, seed: int) -> None:
    once, again = solve(problem, seed=seed), solve(problem, seed=seed)
    assert (once.answer, once.status, once.score, once.bound) == (again.answer, again.status, again.score, again.bound)


def test_the_same_in_another_process() -> None:
    code = "from tests.engine.test_repair import told; print(told())"
    again = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert again.stdout.strip() == told()


def told() -> str:
    problem = with_changes(running(20, 4, late=2), Left("c003"), Closed("B"), Lost(200))
    return repr(solve(problem).answer)


def test_a_rule_less_never_makes_it_worse() -> None:
    for seed in range(6):
        problem = _ruled(seed)
        done = solve(problem)
        for rule in engine_groups.reasons(problem.rules):
            freed = solve(replace(problem, rules=engine_groups.without(problem.rules, rule)))
            assert freed.score <= done.score + 1e-6


def test_other_names_do_not_change_the_score() -> None:
    problem = _ruled(2)
    other = {child: f"z{99 - at}" for at, child in enumerate(problem.rules.ids)}
    rules = replace(
        problem.rules,
        athletes=tuple(replace(athlete, id=other[athlete.id]) for athlete in problem.rules.athletes),
        together=tuple(frozenset(other[child] for child in pair) for pair in problem.rules.together),
        apart=tuple(frozenset(other[child] for child in pair) for pair in problem.rules.apart),
    )
    groups = engine_groups.Answer.of([[other[child] for child in group] for group in problem.groups.groups])
    changes = tuple(type(change)(other[change.athlete]) for change in problem.changes if hasattr(change, "athlete"))
    renamed = replace(problem, rules=rules, groups=groups, changes=changes)
    assert solve(renamed).score == pytest.approx(solve(problem).score, abs=2e-6)


def _ruled(seed: int) -> Problem:
    """The rules of an evening of the club on a plan that keeps them, one child gone and two late."""
    whole = evening(14, 3, seed)
    start = replace(whole, athletes=whole.athletes[:12])
    cut = engine_groups.solve(start).answer
    assert cut is not None
    return replace(
        running(12, 3), rules=whole, groups=cut, changes=(Left("c004"), *(Late(a.id) for a in whole.athletes[12:]))
    )


@pytest.mark.parametrize("parts", [4, 5, 6])
@pytest.mark.parametrize("seed", range(3))
def test_one_leaves_and_two_arrive_among_24(parts: int, seed: int) -> None:
    whole = evening(26, parts, seed)
    cut = engine_groups.solve(replace(whole, athletes=whole.athletes[:24]), limit=Limit(0.1)).answer
    assert cut is not None
    late = tuple(Late(athlete.id) for athlete in whole.athletes[24:])
    turns = engine_rotation.Problem(words.bib_names(parts), running().turns.stations, 4, may_rest=True)
    rows = tuple(tuple(zip(turns.groups, "ABCDABCD", strict=False)) for _ in range(4))
    problem = replace(
        running(24, parts), rules=whole, groups=cut, turns=turns, rotation=engine_rotation.Answer(rows),
        changes=(Left("c007"), *late),
    )  # fmt: skip
    done = solve(problem)
    assert done.status is Status.BEST
    assert done.answer is not None
    assert violations(problem, done.answer) == []
    assert done.seconds < 2.5  # half a second on an idle machine: `bench` says


# --- who moves


def test_nothing_happened() -> None:
    answer = solved(running())
    assert (answer.groups, answer.rotation, answer.hours) == (running().groups, running().rotation, running().hours)
    assert (answer.moves, answer.placed, answer.owed, answer.way, answer.over_s) == ((), (), (), None, 0)
    assert second_best(running(), answer) is None
    assert ways(running(), answer) == ()


def test_a_late_child_goes_where_rules_are_kept_and_nobody_else_moves() -> None:
    problem = running(12, 3, late=1)
    late = next(iter(problem.late))
    foes = [group[0] for group in problem.groups.groups[:2]]
    ruled = replace(problem, rules=replace(problem.rules, apart=tuple(frozenset({late, foe}) for foe in foes)))
    answer = solved(ruled)
    assert group_of(answer, late) == 2
    assert answer.moves == ()
    assert [move.why.code for move in answer.placed] == ["only"]


def test_of_groups_alike_in_size_the_fairest() -> None:
    answer = solved(running(12, 3, late=1))
    assert [move.why.code for move in answer.placed] == ["fair"]


def test_the_smallest_group_takes_the_late_child() -> None:
    problem = running(12, 3, late=1)
    answer = solved(with_changes(problem, Left(problem.groups.groups[1][0])))
    assert [(move.now, move.why.code) for move in answer.placed] == [(1, "size")]


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


def test_a_group_nobody_is_left_of_takes_no_station() -> None:
    problem = running()
    answer = solved(with_changes(problem, *map(Left, problem.groups.groups[0])))
    assert answer.groups.groups[0] == ()
    assert answer.moves == ()
    assert answer.rotation.station_of("Red", 2) is None


def test_a_locked_group_is_left_alone_as_long_as_another_is_open() -> None:
    problem = running(12, 3, late=1)
    open_ones = {group_of(solved(replace(problem, shut=frozenset({shut}))), "c012") for shut in range(3)}
    assert len(open_ones) > 1
    for shut in range(3):
        assert group_of(solved(replace(problem, shut=frozenset({shut}))), "c012") != shut
    solved(replace(problem, shut=frozenset({0, 1, 2})))


def test_nobody_is_left() -> None:
    problem = running()
    done = solve(with_changes(problem, *map(Left, problem.seat)))
    assert [reason.code for reason in done.reasons] == ["groups"]
    assert violations(
        with_changes(problem, *map(Left, problem.seat)), Answer(problem.groups, problem.rotation, problem.hours)
    )


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


# --- where groups go


def test_who_finds_a_station_closed_rests_and_nothing_else_changes() -> None:
    problem = with_changes(running(), Closed("C", 3))
    answer = solved(problem)
    before, after = problem.rotation.rounds, answer.rotation.rounds
    for turn in range(4):
        for (name, was), (_, now) in zip(before[turn], after[turn], strict=True):
            assert now == (None if was == "C" and turn >= 2 else was), name
    missing = {group for group in problem.turns.groups if "C" not in answer.rotation.path(group)}
    assert {one.athlete for one in answer.owed} == {
        child for name, group in zip(problem.turns.groups, problem.groups.groups, strict=True) for child in group
        if name in missing
    }  # fmt: skip
    assert {one.station for one in answer.owed} == {"C"}


def test_nobody_rests_where_there_is_room() -> None:
    problem = running()
    turns = replace(problem.turns, stations=(*problem.turns.stations, words.Station("E", 5.0, 9.0)))
    answer = solved(with_changes(replace(problem, turns=turns), Closed("D")))
    assert [answer.rotation.resting(turn) for turn in range(1, 5)] == [()] * 4


def test_groups_rest_for_once_where_nothing_else_can_be() -> None:
    problem = with_changes(running(), Closed("A"), Closed("B"), Closed("C"), AdultGone("D"))
    answer = solved(problem)
    assert [len(answer.rotation.resting(turn)) for turn in (2, 3, 4)] == [3, 3, 3]


def test_the_other_rotation_is_offered() -> None:
    problem = running()
    turns = replace(problem.turns, stations=(*problem.turns.stations, words.Station("E", 5.0, 9.0)))
    problem = with_changes(replace(problem, turns=turns), Closed("D"))
    first = solved(problem)
    other = second_best(problem, first)
    assert other is not None
    assert other.answer is not None
    assert violations(problem, other.answer) == []
    assert other.answer.groups == first.groups
    assert any(other.answer.rotation.resting(turn) for turn in range(1, 5))


def test_a_new_rotation_is_the_second_where_the_running_one_will_do() -> None:
    problem = running(12, 2, at_round=1)
    crossed = tuple(words.Station(name, x_m, 0.0) for name, x_m in zip("ABCD", (0.0, 30.0, 10.0, 20.0), strict=True))
    problem = with_changes(replace(problem, turns=replace(problem.turns, stations=crossed)), Closed("C", 4))
    first = solved(problem)
    assert first.rotation == problem.rotation
    other = second_best(problem, first)
    assert other is not None
    assert other.answer is not None
    assert violations(problem, other.answer) == []
    walked = [engine_rotation.walking_m(problem.turns, answer.rotation) for answer in (first, other.answer)]
    assert walked[1] < walked[0]


def test_no_other_rotation() -> None:
    problem = with_changes(running(4, 1, at_round=4), Closed("D"))
    assert second_best(problem, solved(problem)) is None


def test_the_second_rotation_when_both_ways_are_the_same() -> None:
    problem = with_changes(running(), Closed("A"), Closed("B"), Closed("C"), Closed("D"))
    assert second_best(problem, solved(problem)) is None


def test_games_that_lose_their_opponents() -> None:
    problem = running(12, 4)
    pairs = tuple(replace(station, groups_min=2, groups_max=2) for station in problem.turns.stations)
    turns = replace(problem.turns, stations=pairs)
    rounds = tuple(tuple(zip(turns.groups, stations, strict=True)) for stations in ("AABB", "BBAA", "CCDD", "DDCC"))
    plan = replace(problem, turns=turns, rotation=engine_rotation.Answer(rounds))
    answer = solved(with_changes(plan, Merged(0)))
    assert [len(answer.rotation.resting(turn)) for turn in (2, 3, 4)] == [2, 2, 2]  # one, and the group given up


def test_no_time_for_a_rotation() -> None:
    problem = with_changes(running(12, 4), Merged(0))
    pairs = tuple(replace(station, groups_min=2, groups_max=2) for station in problem.turns.stations)
    done = solve(replace(problem, turns=replace(problem.turns, stations=pairs)), limit=NO_TIME)
    assert done.status is Status.IMPOSSIBLE
    assert [reason.code for reason in done.reasons] == ["time"]


# --- when


def test_a_walk_that_became_longer_has_its_time() -> None:
    problem = running()
    far = tuple(
        replace(station, x_m=100.0 * at)
        for at, station in enumerate("ABCD")
        for station in [problem.turns.station[station]]
    )
    answer = solved(with_changes(replace(problem, turns=replace(problem.turns, stations=far)), Closed("B")))
    changes = [entry.seconds for entry in answer.hours.entries if entry.kind is Kind.CHANGE]
    assert max(changes) > 60
    assert answer.way is Way.SHORTEN
    assert answer.over_s <= 0


def test_lost_time_shortens_the_rounds_to_come_equally() -> None:
    problem = with_changes(running(), Lost(100))
    answer = solved(problem)
    works = [entry.seconds for entry in answer.hours.entries if entry.kind is Kind.WORK]
    assert works == [300, 265, 265, 265]
    assert (answer.way, answer.over_s) == (Way.SHORTEN, -5)


def test_too_much_is_lost_to_shorten() -> None:
    problem = with_changes(running(least_work_s=120), Lost(700))
    answer = solved(problem)
    assert answer.way is Way.DROP
    assert len(answer.rotation.rounds) == 2 < 4
    water = [entry.seconds for entry in answer.hours.entries if entry.kind is Kind.WATER]
    assert water == [entry.seconds for entry in problem.hours.entries if entry.kind is Kind.WATER]
    planned = {(child, station) for child in problem.seat for station in "ABCD"}
    assert {(one.athlete, one.station) for one in answer.owed} < planned
    assert len(answer.owed) == 2 * len(problem.seat)


def test_nothing_makes_up_for_it_but_running_over() -> None:
    problem = with_changes(running(), Lost(3000))
    answer = solved(problem)
    assert (answer.way, answer.over_s) == (Way.OVER, 3000)
    assert answer.hours == problem.hours
    for way in (Way.SHORTEN, Way.DROP):
        done = solve(replace(problem, way=way))
        assert [reason.code for reason in done.reasons] == ["minutes"]


def test_all_three_ways_are_offered() -> None:
    problem = with_changes(running(), Lost(240))
    first = solved(problem)
    offered = dict(ways(problem, first))
    assert list(offered) == [Way.SHORTEN, Way.DROP, Way.OVER]
    for way, done in offered.items():
        assert done.answer is not None
        assert done.answer.way is way
        assert violations(problem, done.answer) == []
    other = second_best(problem, first)
    assert other is not None
    assert other.answer is not None
    assert other.answer.way is Way.DROP


def test_a_dropped_round_with_a_station_closed() -> None:
    problem = with_changes(running(way=Way.DROP), Closed("C"), Lost(60))
    answer = solved(problem)
    assert len(answer.rotation.rounds) == 3
    other = second_best(problem, answer)
    assert other is not None
    assert other.answer is not None
    assert other.answer.way is Way.SHORTEN


def test_going_easy_leaves_out_what_is_hard() -> None:
    problem = running()
    child = problem.groups.groups[0][0]
    answer = solved(with_changes(problem, GoEasy(child)))
    assert answer.moves == ()
    to_come = [problem.rotation.station_of("Red", turn) for turn in (2, 3, 4)]
    assert {one.station for one in answer.owed} == {"A", "C"} & {where for where in to_come if where}
    assert {one.athlete for one in answer.owed} == {child}


# --- what is wrong with an answer


def test_wrong_answers_are_told() -> None:
    problem = with_changes(running(12, 3, late=1, shut=frozenset({2})), Merged(0), Closed("C"), Lost(100))
    answer = solved(problem)
    turns, entries = answer.rotation.rounds, answer.hours.entries

    def complaints(**changed: object) -> str:
        return " ".join(violations(problem, replace(answer, **changed)))  # type: ignore[arg-type]

    one = engine_groups.Answer.of([answer.groups.groups[1][:1], answer.groups.groups[1][1:], answer.groups.groups[2]])
    assert "given up" in complaints(groups=one)
    late = engine_groups.Answer.of(
        [[], [c for c in answer.groups.groups[1] if c != "c012"], (*answer.groups.groups[2], "c012")]
    )
    assert "locked" in complaints(groups=late)
    assert "over was changed" in complaints(rotation=engine_rotation.Answer((turns[1], *turns[1:])))
    assert "rounds" in complaints(rotation=engine_rotation.Answer(turns[:1]))
    given = (("Red", "D"), *turns[1][1:])
    assert "still has a place" in complaints(rotation=engine_rotation.Answer((turns[0], given, *turns[2:])))
    assert "closed" in complaints(rotation=problem.rotation)

    def timed(*changed: Entry) -> str:
        return complaints(hours=replace(answer.hours, entries=changed))

    assert "whole fives" in timed(replace(entries[0], seconds=301), *entries[1:])
    assert "Water or another part" in timed(*(e for e in entries if e.kind is not Kind.WATER))
    assert "rounds, one after" in timed(*(e for e in entries if e.round != 3))
    assert "part that is over" in timed(*(replace(e, seconds=5) if e.round == 1 else e for e in entries))
    assert "equally long" in timed(*(replace(e, seconds=5) if e.round == 3 else e for e in entries))
    assert "shorter than its walk" in timed(*(replace(e, seconds=5) if e.kind is Kind.CHANGE else e for e in entries))
    assert "take turns" in timed(*(e for e in entries if e.kind is not Kind.CHANGE))
    assert "later than planned" in timed(*entries, replace(entries[-1], seconds=600))
    assert "who moves" in complaints(moves=())


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        (Left("c099"), "c099 is in no group"),
        (GoEasy("c099"), "c099 is in no group"),
        (Late("c000"), "in a group already"),
        (Late("c099"), "nothing is known"),
        (Closed("Z"), "no station Z"),
        (AdultGone("Z"), "no station Z"),
        (Closed("A", 1), "from round 1"),
        (Closed("A", 5), "from round 5"),
        (Merged(3), "group 4"),
        (Merged(1, (1,)), "group 2"),
        (Lost(0), "at least a second"),
    ],
)
def test_changes_that_speak_of_nothing(change: object, complaint: str) -> None:
    with pytest.raises(ValueError, match=complaint):
        with_changes(running(), change)  # type: ignore[arg-type]


def test_plans_that_do_not_fit_together() -> None:
    problem = running()
    with pytest.raises(ValueError, match="no round 5"):
        replace(problem, at_round=5)
    with pytest.raises(ValueError, match="equally many"):
        replace(problem, groups=engine_groups.Answer(problem.groups.groups[:2]))
    with pytest.raises(ValueError, match="nothing is known of c011"):
        replace(problem, rules=replace(problem.rules, athletes=problem.rules.athletes[:11]))
    whoever_left = replace(
        problem, rules=replace(problem.rules, athletes=problem.rules.athletes[:11]), changes=(Left("c011"),)
    )
    assert "c011" not in {child for group in solved(whoever_left).groups.groups for child in group}
