"""Rotations solved: against every answer there is, against other methods, and what they promise."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

import pytest
from hypothesis import given

from clubapp.engine import limits, rotation
from clubapp.engine.limits import Limit
from clubapp.engine.outcome import Status
from clubapp.engine.rotation import Answer, Problem, costs, score, solve, violations
from clubapp.engine.words import Station
from tests.engine.rotations import field, groups, least, problems, stations
from tests.strategies import examples

SIX = Problem(groups(6), field(6, 1), 6, max_hard_run=2)


def solved(problem: Problem, **options: object) -> Answer:
    outcome = solve(problem, **options)  # type: ignore[arg-type]
    assert outcome.answer is not None, outcome.reasons
    assert violations(problem, outcome.answer) == []
    assert score(problem, outcome.answer) == pytest.approx(outcome.score, abs=1e-9)
    assert outcome.bound <= outcome.score
    return outcome.answer


@examples(20)
@given(problems())
def test_no_answer_is_better_and_none_is_missed(problem: Problem) -> None:
    outcome, known = solve(problem), least(problem)
    if known is None:
        assert outcome.answer is None
        assert outcome.status is Status.IMPOSSIBLE
        assert outcome.reasons
    else:
        solved(problem)
        assert outcome.status is Status.BEST
        assert outcome.score == outcome.bound == pytest.approx(known, abs=1e-9)


@pytest.mark.parametrize("seed", range(2))
def test_six_groups_six_stations_six_rounds_are_proven(seed: int) -> None:
    problem = Problem(groups(6), field(6, seed), 6, max_hard_run=2)
    answer, outcome = solved(problem), solve(problem)
    assert outcome.status is Status.BEST
    assert all(len({answer.station_of(group, turn) for turn in range(1, 7)}) == 6 for group in problem.groups)
    assert outcome.score <= score(problem, rotation.plain(problem))


def test_the_columns_and_the_flow_agree_on_the_best() -> None:
    # Kit nobody is short of sends the same wish to the other model.
    flow = replace(SIX, kit_owned={"cones": 99})
    assert (solve(SIX).status, solve(flow).status) == (Status.BEST, Status.BEST)
    assert solve(SIX).score == solve(flow).score


@pytest.mark.parametrize(("count", "places", "rounds"), [(4, 6, 6), (5, 7, 4), (6, 6, 3), (2, 5, 5), (1, 4, 4)])
def test_more_stations_than_groups_or_rounds(count: int, places: int, rounds: int) -> None:
    problem = Problem(groups(count), field(places, 3), rounds)
    solved(problem)
    best, flow = solve(problem), solve(replace(problem, kit_owned={"cones": 99}), limit=limits.QUICK)
    assert best.status is Status.BEST
    assert flow.bound <= best.score <= flow.score


def test_without_places_everybody_moves_one_on_and_nothing_is_better() -> None:
    problem = Problem(groups(4), tuple(Station(name) for name in "ABCD"), 4)
    outcome = solve(problem)
    assert outcome.answer == rotation.plain(problem)
    assert (outcome.status, outcome.score, outcome.bound) == (Status.BEST, 0.0, 0.0)


def test_fewer_stations_than_groups_rest_in_turn() -> None:
    problem = Problem(groups(6), stations(4), 4)
    answer = solved(problem)
    assert [len(answer.resting(turn)) for turn in range(1, 5)] == [2, 2, 2, 2]
    assert costs(problem, answer).most_rests == 2


def test_more_rounds_than_stations_where_groups_must_rest_anyway() -> None:
    problem = Problem(groups(6), stations(4), 6)
    answer = solved(problem)
    assert {sum(where is None for where in answer.path(group)) for group in problem.groups} == {2}


def test_too_few_places_over_the_whole_time_are_rested_out_and_no_more() -> None:
    # Each of the two places for one is there for two of the four groups only: 8 turns less 2 × 2 + 2 × 1 + ….
    wide = Station("Wide", 0, 0, groups_max=3)
    problem = Problem(groups(4), (wide, Station("One", 5, 0), Station("Two", 9, 0)), 3)
    answer = solved(problem)
    assert solve(problem).status is Status.BEST
    assert costs(problem, answer).rests == 12 - (4 + 3 + 3)


def test_a_closed_station_makes_one_group_rest_in_that_round() -> None:
    problem = Problem(groups(4), stations(4), 4, closed=frozenset({("B", 2)}))
    answer = solved(problem)
    assert [len(answer.resting(turn)) for turn in range(1, 5)] == [0, 1, 0, 0]
    assert answer.groups_at("B", 2) == ()


def test_games_have_two_groups_and_nobody_meets_twice() -> None:
    games = tuple(Station(name, groups_min=2, groups_max=2) for name in ("Chase", "Relay", "Catch"))
    problem = Problem(groups(6), games, 3)
    answer = solved(problem)
    assert all(len(answer.groups_at(game.id, turn)) == 2 for game in games for turn in (1, 2, 3))
    assert costs(problem, answer).meetings_again == 0


def test_meetings_are_repeated_only_where_it_cannot_be_avoided() -> None:
    games = tuple(Station(name, groups_min=2, groups_max=2) for name in ("Chase", "Relay"))
    pairs = Problem(groups(2), games, 2)
    assert costs(pairs, solved(pairs)).meetings_again == 1


def test_shared_kit_is_enough_in_every_round() -> None:
    places = (*stations(2, kit={"cones": 6}), Station("C"), Station("D"))
    problem = Problem(groups(2), places, 4, kit_owned={"cones": 6})
    answer = solved(problem)
    assert all(bool(answer.groups_at("A", turn)) + bool(answer.groups_at("B", turn)) <= 1 for turn in range(1, 5))


def test_adults_who_stay_at_stations_limit_how_many_run() -> None:
    problem = Problem(groups(4), stations(4, groups_max=2), 4, staffed=2)
    answer = solved(problem)
    assert all(sum(bool(answer.groups_at(s, turn)) for s in "ABCD") == 2 for turn in range(1, 5))


def test_balanced_succession_is_the_square_where_there_is_one() -> None:
    problem = Problem(groups(6), field(6, 2), 6, balanced_succession=True)
    answer = solved(problem)
    assert solve(problem).status is Status.BEST
    assert costs(problem, answer).successions_again == 0


def test_balanced_succession_with_an_odd_number_repeats_as_little_as_can_be() -> None:
    problem = Problem(groups(3), stations(3), 3, balanced_succession=True)
    outcome = solve(problem)
    assert outcome.status is Status.BEST
    assert costs(problem, solved(problem)).successions_again == 3


def test_balanced_succession_keeps_the_rule_on_hard_stations() -> None:
    places = tuple(Station(name, hard=name in "ABC") for name in "ABCDEF")
    problem = Problem(groups(6), places, 6, balanced_succession=True, max_hard_run=2)
    answer = solved(problem)
    assert rotation.longest_hard_run(problem, answer) <= 2


def test_the_past_stays_as_it_was() -> None:
    before = solved(SIX)
    problem = replace(SIX, fixed=before.rounds[:3], closed=frozenset({("S2", 5)}))
    after = solved(problem)
    assert after.rounds[:3] == before.rounds[:3]
    assert after.groups_at("S2", 5) == ()
    assert solve(replace(SIX, fixed=before.rounds[:3]), start=before).score <= score(SIX, before)


def test_who_met_and_what_followed_in_the_past_counts_on() -> None:
    wide = stations(4, groups_max=2)
    over = tuple(tuple(zip(groups(4), turn, strict=True)) for turn in ("AACC", "BDDB"))
    problem = Problem(groups(4), wide, 4, fixed=over, balanced_succession=True)
    answer = solved(problem)
    assert costs(problem, answer).meetings_again == 0
    assert solve(problem).status is Status.BEST


def test_all_rounds_over_leave_nothing_to_do() -> None:
    before = solved(SIX)
    assert solve(replace(SIX, fixed=before.rounds)).answer == before


def test_same_seed_same_answer_in_another_process() -> None:
    code = (
        "from tests.engine.test_rotation import SIX; from dataclasses import replace\n"
        "from clubapp.engine.rotation import solve\n"
        "print(solve(SIX, seed=5).answer, solve(replace(SIX, kit_owned={'cones': 99}), seed=5).answer)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    here = f"{solve(SIX, seed=5).answer} {solve(replace(SIX, kit_owned={'cones': 99}), seed=5).answer}"
    assert done.stdout.strip() == here


@pytest.mark.parametrize("seed", range(3))
def test_dropping_a_rule_never_makes_it_worse(seed: int) -> None:
    strict = Problem(groups(5), field(5, seed), 5, max_hard_run=1)
    free = replace(strict, max_hard_run=None)
    assert solve(free).score <= solve(strict).score


def test_other_names_make_no_difference_to_the_best() -> None:
    turned = replace(SIX, stations=tuple(reversed(SIX.stations)), groups=tuple("uvwxyz"))
    assert solve(turned).score == solve(SIX).score


def test_a_start_is_used_and_a_wrong_one_left_aside() -> None:
    short = Limit(deterministic=0.001)
    hard = replace(SIX, kit_owned={"cones": 99})
    best = solved(SIX)
    assert solve(hard, start=best, limit=short).score == solve(SIX).score
    assert solve(hard, start=replace(best, rounds=best.rounds[::-1][:3])).answer is not None


@pytest.mark.parametrize(("limit", "status"), [(1e-9, Status.SIMPLE), (0.08, Status.GOOD)])
def test_a_search_cut_short_still_answers_with_a_bound(limit: float, status: Status) -> None:
    problem = replace(SIX, kit_owned={"cones": 99}, max_hard_run=None)
    outcome = solve(problem, limit=Limit(deterministic=limit))
    assert outcome.answer is not None
    assert outcome.status is status
    assert 0 <= outcome.bound <= solve(problem).score <= outcome.score <= score(problem, rotation.plain(problem))


def test_nothing_found_in_time_is_said_as_such() -> None:
    games = tuple(Station(f"G{at}", at, at, groups_min=2, groups_max=2, hard=at % 2 == 0) for at in range(8))
    problem = Problem(groups(12), games, 6, max_hard_run=1, kit_owned={"cones": 4})
    outcome = solve(problem, limit=Limit(deterministic=1e-9))
    assert outcome.answer is None
    assert [reason.code for reason in outcome.reasons] == ["time"]


def test_a_rule_that_only_the_whole_model_finds_broken() -> None:
    places = tuple(Station(name, hard=name in "ABC") for name in "ABCD")
    outcome = solve(Problem(groups(4), places, 4, max_hard_run=1, kit_owned={"cones": 5}))
    assert outcome.answer is None
    assert "hard_run" in [reason.code for reason in outcome.reasons]


def test_what_counting_leaves_in_doubt_the_search_finds_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rotation, "possible", lambda problem, seed: True)
    outcome = solve(Problem(groups(3), stations(3), 4))
    assert outcome.answer is None
    assert [reason.code for reason in outcome.reasons] == ["rest", "rounds"]


def test_careful_uses_the_wall_clock() -> None:
    outcome = solve(replace(SIX, kit_owned={"cones": 99}), limit=replace(limits.CAREFUL, wall_seconds=5.0))
    assert outcome.status is Status.BEST


def test_both_ends_of_the_trade() -> None:
    places = tuple(
        Station(name, x, 0.0, hard=name in "ABC") for name, x in zip("ABCDEF", (0, 5, 10, 60, 65, 70), strict=True)
    )
    problem = Problem(groups(6), places, 6, max_hard_run=1)
    gentle, short = rotation.trade(problem, solve(problem))
    assert gentle.hard_run <= 1 < short.hard_run
    assert gentle.walking_m > short.walking_m
    assert violations(problem, gentle.answer) == []


def test_no_trade_where_nothing_conflicts() -> None:
    easy = Problem(groups(4), stations(4), 4, max_hard_run=1)
    assert rotation.trade(easy, solve(easy)) == ()
    no_rule = Problem(groups(4), stations(4), 4)
    assert rotation.trade(no_rule, solve(no_rule)) == ()
    never = Problem(groups(2), stations(2, hard=True), 2, max_hard_run=0)
    assert rotation.trade(never, solve(never)) == ()


def test_eight_by_eight_by_eight(big: bool) -> None:
    for seed in range(8 if big else 1):
        problem = Problem(groups(8), field(8, seed), 8, max_hard_run=2)
        solved(problem)
        assert solve(problem).status is Status.BEST
