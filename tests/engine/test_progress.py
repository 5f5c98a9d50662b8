"""Whether a child's change is more than chance, in the test's own direction."""

from __future__ import annotations

import math
from statistics import stdev

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine.progress import (
    Better,
    Day,
    Error,
    Verdict,
    agreement,
    anova,
    detectable_change,
    error_of_logs,
    judged,
    limits_of_agreement,
    pooled_error,
    variation_percent,
    worthwhile_change,
)
from tests.strategies import examples

GRASS, HALL = ("grass", "by hand"), ("hall", "by hand")
CHANCE = Error(0.1)


def days(*means: float, conditions: tuple[str, ...] = GRASS) -> list[Day]:
    return [Day(7 * at, (mean,), conditions) for at, mean in enumerate(means)]


def test_a_change_that_is_larger_than_chance_has_a_direction() -> None:
    """TE 0.1 s: 1.96 · √2 · 0.1 = 0.277 s."""
    found = judged(days(6.0, 5.9, 5.7), Better.LESS, CHANCE)
    assert found.verdict is Verdict.BETTER
    assert found.change == pytest.approx(-0.3)
    assert found.detectable == pytest.approx(0.2772, abs=5e-5)
    assert found.band == pytest.approx((5.7228, 6.2772), abs=5e-5)
    assert judged(days(6.0, 5.9, 5.7), Better.MORE, CHANCE).verdict is Verdict.WORSE
    assert judged(days(5.7, 5.9, 6.0), Better.LESS, CHANCE).verdict is Verdict.WORSE
    assert judged(days(1.5, 1.6, 1.9), Better.MORE, CHANCE).verdict is Verdict.BETTER


def test_a_change_within_chance_says_nothing() -> None:
    assert judged(days(6.0, 5.5, 5.8), Better.LESS, CHANCE).verdict is Verdict.UNCLEAR
    assert judged(days(6.0, 6.0, 6.0), Better.LESS, Error(0.0)).verdict is Verdict.UNCLEAR
    assert judged(days(6.0, 5.9, 5.7), Better.LESS, CHANCE, worthwhile=0.31).verdict is Verdict.UNCLEAR


def test_more_attempts_a_day_show_a_smaller_change() -> None:
    thrice = [Day(at, (mean - 0.1, mean, mean + 0.1)) for at, mean in enumerate((6.0, 5.9, 5.8))]
    assert judged(thrice, Better.LESS, CHANCE).detectable == pytest.approx(1.96 * 0.1 * math.sqrt(2 / 3))
    assert judged(thrice, Better.LESS, CHANCE).verdict is Verdict.BETTER
    assert judged(days(6.0, 5.9, 5.8), Better.LESS, CHANCE).verdict is Verdict.UNCLEAR


def test_nothing_is_said_before_three_tests_or_without_knowing_the_error() -> None:
    for found in (
        judged([], Better.LESS, CHANCE),
        judged([Day(0, ())], Better.LESS, CHANCE),
        judged(days(6.0, 5.0), Better.LESS, CHANCE),
        judged(days(6.0, 5.5, 5.0), Better.LESS, None),
    ):
        assert (found.verdict, found.change, found.band) == (Verdict.TOO_FEW, None, None)


def test_another_surface_or_timing_is_marked_and_not_judged() -> None:
    mixed = [*days(6.0, 5.9, 5.7), Day(8, (4.0,), HALL)]
    found = judged(mixed, Better.LESS, CHANCE)
    assert (found.verdict, found.odd) == (Verdict.BETTER, (8,))
    moved = [*days(6.0, 5.9, 5.7), Day(99, (4.0,), HALL)]
    assert judged(moved, Better.LESS, CHANCE).verdict is Verdict.TOO_FEW
    assert judged(moved, Better.LESS, CHANCE).odd == (0, 7, 14)


@examples(30)
@given(st.permutations(days(6.0, 5.9, 5.7, 5.8)))
def test_the_order_days_come_in_does_not_matter(shuffled: list[Day]) -> None:
    assert judged(shuffled, Better.LESS, Error(0.05)) == judged(days(6.0, 5.9, 5.7, 5.8), Better.LESS, Error(0.05))


def test_chance_alone_is_called_a_change_one_time_in_twenty() -> None:
    """20,000 children who do not change; both ways together 5 %, in each direction half of that."""
    lot = np.random.default_rng(5)
    found = [judged(days(*row), Better.LESS, CHANCE).verdict for row in lot.normal(6.0, 0.1, (20_000, 3))]
    assert found.count(Verdict.BETTER) / 20_000 == pytest.approx(0.025, abs=0.004)
    assert found.count(Verdict.WORSE) / 20_000 == pytest.approx(0.025, abs=0.004)


def test_what_was_better_twice_running_has_held() -> None:
    assert judged(days(6.0, 5.6, 5.6), Better.LESS, CHANCE).held
    assert not judged(days(6.0, 5.9, 5.6), Better.LESS, CHANCE).held  # one good day
    assert not judged(days(6.0, 5.6, 5.9), Better.LESS, CHANCE).held  # and gone again
    assert not judged(days(5.6, 6.0, 6.0), Better.LESS, CHANCE).held
    assert judged(days(5.6, 6.0, 6.0), Better.MORE, CHANCE).held


# --- how far chance moves a result, from everybody's days ---


def squad(lot: np.random.Generator, children: int, on: int, attempts: int, *, gain: float = 0.0) -> list[list[Day]]:
    """Deviations in logarithms: 0.015 between attempts, 0.02 between days, 0.15 between children."""
    found = []
    for _child in range(children):
        level, rows = lot.normal(2.0, 0.15), []
        for day in range(on):
            form = level + lot.normal(0, 0.02) - gain * day
            rows.append(Day(7 * day, tuple(math.exp(form + lot.normal(0, 0.015)) for _ in range(attempts))))
        found.append(rows)
    return found


@pytest.mark.parametrize("gain", [0.0, 0.03])
def test_both_errors_are_found_whatever_all_gain_together(gain: float) -> None:
    found = error_of_logs(squad(np.random.default_rng(1), 800, 4, 2, gain=gain))
    assert found is not None
    assert (found.attempt, found.day) == pytest.approx((0.015, 0.02), rel=0.05)
    assert found.typical == pytest.approx(0.025, rel=0.05)
    assert found.of(4) == pytest.approx(math.hypot(0.02, 0.0075), rel=0.05)


def test_single_attempts_lay_all_of_it_on_the_day() -> None:
    found = error_of_logs(squad(np.random.default_rng(2), 800, 4, 1))
    assert found is not None
    assert (found.attempt, found.day) == (0.0, pytest.approx(0.025, rel=0.05))
    assert found.at(8.0).typical == pytest.approx(0.2, rel=0.05)


def test_chance_is_not_known_from_few_children_or_from_days_of_their_own() -> None:
    lot = np.random.default_rng(3)
    assert error_of_logs(squad(lot, 11, 2, 1)) is not None
    assert error_of_logs(squad(lot, 10, 2, 1)) is None  # nine differences from their mean
    apart = [[Day(day.on + at, day.values) for day in rows] for at, rows in enumerate(squad(lot, 20, 2, 2))]
    assert error_of_logs(apart) is None  # nobody on the same two days as another
    assert error_of_logs([]) is None


def test_equal_means_of_scattered_attempts_leave_nothing_for_the_day() -> None:
    found = error_of_logs([[Day(on, (5.0, 5.2)) for on in (0, 7)] for _ in range(12)])
    assert found is not None
    assert (found.attempt, found.day) == (pytest.approx(stdev([math.log(5.0), math.log(5.2)])), 0.0)


def test_the_wrong_alarm_rate_holds_with_the_error_that_was_found() -> None:
    """1,500 children in squads of 30 who only drift by chance, judged with what their own squads tell of chance."""
    lot, calls = np.random.default_rng(4), 0
    for _squad in range(50):
        children = squad(lot, 30, 4, 2)
        error = error_of_logs(children)
        assert error is not None
        for rows in children:
            verdict = judged(rows, Better.LESS, error.at(rows[0].mean)).verdict
            calls += verdict in (Verdict.BETTER, Verdict.WORSE)
    assert calls / 1500 == pytest.approx(0.05, abs=0.015)


# --- how repeatable a test is ---


def test_of_two_trials_the_error_is_the_deviation_of_differences_over_root_two() -> None:
    pairs = [(6.1, 6.0), (5.8, 5.9), (7.0, 6.7), (6.4, 6.4)]
    apart = stdev([one - other for one, other in pairs])
    assert anova(pairs).typical_error == pytest.approx(apart / math.sqrt(2))
    low, high = limits_of_agreement(pairs)
    assert (low + high) / 2 == pytest.approx(-0.075)
    assert high - low == pytest.approx(2 * 1.96 * apart)


@pytest.mark.parametrize("table", [[], [(1.0, 2.0)], [(1.0,), (2.0,)], [(1.0, 2.0), (1.0,)]])
def test_a_table_that_is_none_is_refused(table: list[tuple[float, ...]]) -> None:
    with pytest.raises(ValueError, match="at least two children"):
        anova(table)


def test_children_who_are_all_alike_agree_by_nothing() -> None:
    found = anova([(1.0, 1.0), (1.0, 1.0)])
    assert found.typical_error == 0.0
    assert agreement(found).consistency == agreement(found).one_way == 0.0


def test_the_pooled_error_of_one_child_is_its_deviation() -> None:
    assert pooled_error([]) is pooled_error([(6.0,), (5.0,)]) is None
    assert pooled_error([(6.0, 6.2, 6.4), (5.0,)]) == pytest.approx(0.2)
    assert pooled_error([(6.0, 6.2), (5.0, 5.0)]) == pytest.approx(math.sqrt(0.02 / 2))


def test_percent_and_worthwhile() -> None:
    assert variation_percent([(10.0, 10.0), (8.0, 8.0)]) == pytest.approx(0.0)
    assert worthwhile_change([6.0]) == 0.0
    assert worthwhile_change([5.0, 7.0]) == pytest.approx(0.2 * math.sqrt(2))
    assert detectable_change(Error(1.0), 4, 4) == pytest.approx(1.96 * math.sqrt(0.5))
