from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import chase_fields as fielding
from clubapp.engine.chase_problem import Child, Problem
from tests.strategies import examples, runners


def squad(*years: float | None) -> Problem:
    return Problem(tuple(Child(one, age) for one, age in zip(runners(len(years), 1), years, strict=True)))


def test_one_field_within_the_gap_and_two_above_it() -> None:
    assert fielding.fields(squad(7, 8, 11)) == (("c000", "c001", "c002"),)
    assert fielding.fields(squad(7, 15, 8, 14, 9, 13)) == (("c000", "c002", "c004"), ("c001", "c003", "c005"))


def test_fields_are_as_even_as_the_gap_allows() -> None:
    found = fielding.fields(squad(7, 8, 9, 10, 11, 11.5, 12, 12.5))
    assert found is not None
    assert sorted(map(len, found)) == [4, 4]


def test_without_an_age_speed_decides_and_no_age_at_all_is_one_field() -> None:
    problem = squad(7, 7, 7, 14, 14, 14, None)
    found = fielding.fields(problem)
    assert found is not None
    assert sum("c006" in part for part in found) == 1
    assert fielding.fields(squad(None, None, None)) == (("c000", "c001", "c002"),)
    assert fielding.fields(squad(7, 8, None)) == (("c000", "c001", "c002"),)


def test_a_field_that_is_too_small_and_the_gap_that_helps() -> None:
    assert fielding.fields(squad(7, 7, 7, 12)) is None
    assert fielding.gap_needed(squad(7, 7, 7, 12)) == 5.0
    assert fielding.fields(squad(7, 15, None)) is None
    assert fielding.gap_needed(squad(7, 15, None)) == 8.0


@examples(30)
@given(st.lists(st.floats(7, 15), min_size=3, max_size=20))
def test_ages_are_within_the_gap(years: list[float]) -> None:
    problem = squad(*years)
    found = fielding.fields(problem)
    if found is None:
        assert fielding.gap_needed(problem) > problem.gap_years
        return
    assert sorted(child for part in found for child in part) == sorted(problem.of)
    assert all(fielding.ages_ok(problem, [problem.of[child] for child in part]) for part in found)
    assert min(map(len, found)) >= 3
