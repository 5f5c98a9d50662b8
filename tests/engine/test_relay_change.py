from __future__ import annotations

from dataclasses import replace

from clubapp.engine import relay, relay_change
from clubapp.engine.relay import Answer, Problem
from tests.strategies import runners

FIELD = runners(9, 1)
IDS = [one.id for one in FIELD]


def solved(problem: Problem) -> Answer:
    answer = relay.solve(problem, seed=1).answer
    assert answer is not None
    return answer


def test_a_late_child_takes_a_second_leg_and_nobody_changes_teams() -> None:
    before = solved(Problem(FIELD[:7], 2))
    (twice,) = before.twice
    after = relay_change.joined(Problem(FIELD[:8], 2), before, IDS[7])
    assert after is not None
    assert relay.violations(Problem(FIELD[:8], 2), after) == []
    assert [set(team) - {IDS[7]} for team in after.teams] == [set(team) for team in before.teams]
    back = relay_change.left(Problem(FIELD[:7], 2, twice_before=dict.fromkeys(IDS, 1) | {twice: 0}), after, IDS[7])
    assert back is not None
    assert (back.twice, [set(team) for team in back.teams]) == ((twice,), [set(team) for team in before.teams])


def test_where_nobody_runs_twice_the_others_run_a_leg_more() -> None:
    problem = Problem(FIELD, 2, once=frozenset(IDS[:3]))
    before = solved(replace(problem, runners=FIELD[:8]))
    after = relay_change.joined(problem, before, IDS[8])
    assert after is not None
    assert {len(team) for team in after.teams} == {5}
    assert len(after.twice) == 1
    assert not set(after.twice) & problem.once


def test_a_pair_that_should_be_apart_stays_apart_where_it_can() -> None:
    before = Answer((tuple(IDS[:3]), (*IDS[3:5], IDS[4])))
    problem = Problem(FIELD[:6], 2, apart=(frozenset({IDS[3], IDS[5]}),))
    after = relay_change.joined(problem, before, IDS[5])
    assert after is not None  # taking the second leg is all that keeps the legs as they are
    assert IDS[5] in after.teams[1]
    free = relay_change.joined(problem, Answer((tuple(IDS[:2]), (IDS[3], IDS[4]))), IDS[5])
    assert free is not None
    assert IDS[5] in free.teams[0]


def test_where_nobody_may_run_twice_it_cannot_be_done() -> None:
    teams = Answer(((IDS[0], IDS[1]), (IDS[2], IDS[3])))
    once = frozenset(IDS[:4])
    assert relay_change.joined(Problem(FIELD[:5], 2, once=once), teams, IDS[4]) is None
    assert relay_change.left(Problem(FIELD[1:4], 2, once=once - {IDS[0]}), teams, IDS[0]) is None


def test_whoever_ran_twice_leaves_two_legs() -> None:
    teams = Answer(((IDS[0], IDS[1], IDS[0], IDS[2]), tuple(IDS[3:7])))
    after = relay_change.left(Problem(FIELD[1:7], 2), teams, IDS[0])
    assert after is not None
    assert sorted(after.teams[0]) == sorted([IDS[1], IDS[2]] * 2)
    assert after.teams[1] == teams.teams[1]
