from __future__ import annotations

import math
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import handicap_marks as marking
from clubapp.engine.ability import Prediction
from clubapp.engine.handicap_problem import Aim, How, Problem, too_early
from clubapp.engine.runners import Runner
from tests.strategies import examples, runners


@given(st.integers(2, 4), st.integers(0, 999), st.sampled_from([300, 700, 1000]))
@examples(13)
def test_a_common_finish_is_the_best_of_all_whole_steps(count: int, seed: int, step: int) -> None:
    problem = Problem(runners(count, seed), aim=Aim.TOGETHER, step=step)
    found = marking.together(problem)
    ids = sorted(found)
    top = max(found.values()) // step + 1
    ways = (dict(zip(ids, (step * k for k in way), strict=True)) for way in product(range(top + 1), repeat=count))
    assert marking.spread_ms(problem, found) == pytest.approx(min(marking.spread_ms(problem, w) for w in ways), abs=2)


def test_marks_in_metres_are_the_nearest_and_stay_on_the_course() -> None:
    slow = Runner("slow", Prediction(math.log(60), 0.05, 0.01))
    fast = Runner("fast", Prediction(math.log(6), 0.05, 0.01))
    problem = Problem((fast, slow), How.METRES, step=500, distance_mm=1200)
    assert marking.together(problem) == {"fast": 0, "slow": 1000}


def test_better_chances_are_found_step_by_step() -> None:
    problem = Problem(runners(6, 1), step=500)
    found = marking.level_chances(problem)
    assert marking.unequal(problem, found) <= min(
        marking.unequal(problem, {**found, child: mark + step}) for child, mark in found.items() for step in (-500, 500)
    )


@pytest.mark.parametrize("how", How)
def test_new_children_stand_back(how: How) -> None:
    quick = Runner("new", Prediction(1.5, 0.1, 0.09))
    others = tuple(Runner(f"o{at}", Prediction(1.9 + at / 10, 0.04, 0.02)) for at in range(3))
    problem = Problem((quick, *others), how, step=1000, distance_mm=40_000, new=frozenset({"new"}))
    start = dict.fromkeys(("new", "o0", "o1", "o2"), 0)
    made = marking.careful(problem, start)
    assert min(made.values()) == 0
    assert too_early(problem, start) == ["new"]
    assert too_early(problem, made) == []
    ahead = marking.careful(problem, {**start, "new": 9000} if how is How.METRES else {**start, "o0": 9000})
    assert too_early(problem, ahead) == []


def test_the_search_ends_by_itself_or_after_its_passes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(marking, "PASSES", 0)
    problem = Problem(runners(8, 3), step=1000)
    assert min(marking.level_chances(problem).values()) == 0


@pytest.mark.parametrize("how", How)
@pytest.mark.parametrize("new", [False, True])
def test_who_joins_gets_the_best_mark_and_moves_nobody(how: How, new: bool) -> None:
    """No other whole step makes chances less unequal, but a new child's is never early. Going again undoes it."""
    field = runners(5, 4)
    child = field[2].id
    problem = Problem(field, how, step=500, distance_mm=40_000, new=frozenset({child} if new else ()))
    others = marking.without(problem, marking.level_chances(problem), child)
    made = marking.joined(problem, others, child)
    assert {one: mark for one, mark in made.items() if one != child} == others
    front = problem.front if how is How.SECONDS else 0
    ways = [{**others, child: mark} for mark in range(front, 20_000, problem.step)]
    kept = [way for way in ways if child not in too_early(problem, way)]
    assert child not in too_early(problem, made)
    assert marking.unequal(problem, made) <= min(marking.unequal(problem, way) for way in kept)
    assert min(marking.without(problem, made, child).values()) == front


def test_who_joins_and_is_early_everywhere_stands_furthest_back() -> None:
    quick = Runner("new", Prediction(0.5, 0.1, 0.09))
    others = tuple(Runner(f"o{at}", Prediction(1.9, 0.04, 0.02)) for at in range(2))
    problem = Problem((quick, *others), How.METRES, step=1000, distance_mm=40_000, new=frozenset({"new"}))
    assert marking.joined(problem, {"o0": 0, "o1": 0}, "new")["new"] == 0


def test_marks_and_finishes_are_one_for_whoever_is_alike() -> None:
    alike = tuple(Runner(f"o{at}", Prediction(1.9, 0.04, 0.02)) for at in range(2))
    assert marking.spread_ms(Problem(alike, step=500), {"o0": 0, "o1": 500}) == pytest.approx(500)
