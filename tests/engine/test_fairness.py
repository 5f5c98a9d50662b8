"""The one fairness score, by sums done by hand."""

from __future__ import annotations

import math
import statistics
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import fairness
from clubapp.engine.fairness import AGE, Attribute
from clubapp.engine.words import Athlete
from tests.strategies import EVENING, children, examples

ON = date(2026, 3, 14)


def child(name: str, born: date | None = None, **values: float) -> Athlete:
    return Athlete(name, values, born=born)


FOUR = (child("a", skill=1), child("b", skill=2), child("c", skill=3), child("d", skill=4))


def test_the_score_is_the_spread_of_means_over_the_deviation() -> None:
    # Means 1.5 and 3.5 are 2 apart; the population deviation of 1, 2, 3, 4 is the root of 1.25.
    found = fairness.report(FOUR, ON, [Attribute("skill")], [["a", "b"], ["c", "d"]])
    assert found.score == pytest.approx(2 / math.sqrt(1.25))
    (row,) = found.attributes
    assert (row.name, row.spread, row.unit) == ("skill", 2.0, "points")
    assert row.sd == pytest.approx(math.sqrt(1.25))
    assert found.gaps == ()


def test_perfect_groups_score_nothing_and_sizes_may_differ() -> None:
    assert fairness.report(FOUR, ON, [Attribute("skill")], [["a", "d"], ["b", "c"]]).score == 0
    spread = fairness.report(FOUR, ON, [Attribute("skill")], [["a", "b", "c"], ["d"]]).attributes[0].spread
    assert spread == 2.0


def test_weights_multiply_and_add_up() -> None:
    two = [Attribute("skill", 3.0), Attribute("skill", 0.5)]
    once = fairness.report(FOUR, ON, [Attribute("skill")], [["a", "b"], ["c", "d"]]).score
    assert fairness.report(FOUR, ON, two, [["a", "b"], ["c", "d"]]).score == pytest.approx(3.5 * once)


@pytest.mark.parametrize("weight", [-1.0, float("nan"), float("inf")])
def test_a_weight_that_makes_no_sense_is_refused(weight: float) -> None:
    with pytest.raises(ValueError, match="the weight of skill"):
        Attribute("skill", weight)


def test_no_deviation_counts_nothing_even_after_rounding() -> None:
    same = tuple(child(name, speed_s=4.3) for name in "abcdefg")
    found = fairness.report(same, ON, [Attribute("speed_s")], [["a", "b", "c"], ["d", "e", "f", "g"]])
    assert found.attributes[0].sd == 0
    assert found.score == 0


def test_age_is_in_days_not_whole_years() -> None:
    two = (child("a", date(2016, 3, 14)), child("b", date(2016, 3, 24)))
    (row,) = fairness.report(two, ON, [Attribute(AGE)], [["a"], ["b"]]).attributes
    assert (row.spread, row.unit) == (10.0, "days")


def test_a_gap_takes_the_mean_of_the_same_completed_year() -> None:
    squad = (
        child("a", date(2016, 1, 1), speed_s=5.0),
        child("b", date(2016, 2, 1), speed_s=6.0),
        child("c", date(2015, 5, 1)),  # ten years old, like a and b
        child("d", date(2012, 1, 1), speed_s=4.0),
    )
    filled = fairness.filled(squad, ON, "speed_s")
    assert filled.values == (5.0, 6.0, 5.5, 4.0)
    assert filled.gaps == ("c",)
    assert fairness.report(squad, ON, [Attribute("speed_s")], [["a"], ["b"]]).gaps == (("speed_s", ("c",)),)


@pytest.mark.parametrize("born", [None, date(2010, 1, 1)])
def test_without_anybody_of_that_year_a_gap_takes_the_mean_of_all(born: date | None) -> None:
    squad = (child("a", date(2016, 1, 1), skill=2), child("b", skill=5), child("c", born))
    assert fairness.filled(squad, ON, "skill").values == (2.0, 5.0, 3.5)


def test_an_attribute_nobody_has_counts_nothing() -> None:
    assert fairness.filled(FOUR, ON, "speed_s").values == (0.0, 0.0, 0.0, 0.0)
    assert fairness.report(FOUR, ON, [Attribute("speed_s")], [["a"], ["b", "c", "d"]]).score == 0


def test_groups_nobody_stands_in_have_no_mean() -> None:
    assert fairness.spread({"a": 1.0, "b": 4.0}, [["a"], [], ["b"]]) == 3.0
    assert fairness.spread({}, [[], []]) == 0.0


@pytest.mark.parametrize(
    ("name", "unit"), [("speed_s", "s"), ("skill", "points"), ("age", "days"), ("jump_cm", "cm"), ("mood", "")]
)
def test_units(name: str, unit: str) -> None:
    assert fairness.unit_of(name) == unit


def test_ability_counts_a_short_time_as_able_and_a_weight_of_nothing_not_at_all() -> None:
    squad = (child("a", speed_s=4.0, skill=1), child("b", speed_s=6.0, skill=1))
    both = [Attribute("speed_s"), Attribute("skill")]
    assert fairness.ability(squad, ON, both) == (0.5, -0.5)
    assert fairness.ability(squad, ON, [Attribute("speed_s", 0.0)]) == (0.0, 0.0)
    assert fairness.ability(squad, ON, []) == (0.0, 0.0)


@examples(30)
@given(st.permutations(range(9)), st.integers(0, 50))
def test_the_score_is_the_formula_and_knows_no_order(order: list[int], seed: int) -> None:
    squad = children(9, seed)
    groups = [[squad[at].id for at in order[start::3]] for start in range(3)]
    balance = [Attribute("speed_s"), Attribute(AGE, 2.0), Attribute("skill")]
    expected = 0.0
    for attribute in balance:
        values = dict(zip((a.id for a in squad), fairness.filled(squad, EVENING, attribute.name).values, strict=True))
        means = [statistics.fmean(values[name] for name in group) for group in groups]
        expected += attribute.weight * (max(means) - min(means)) / statistics.pstdev(values.values())
    assert fairness.report(squad, EVENING, balance, groups).score == pytest.approx(expected, abs=1e-9)
    shuffled = tuple(squad[at] for at in order)
    assert fairness.report(shuffled, EVENING, balance, groups[::-1]).score == pytest.approx(expected, abs=1e-9)
