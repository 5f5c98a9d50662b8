"""Predictions: calibrated against squads whose truth is known, and drawn the right way by what is known of a child."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import ability
from clubapp.engine.ability import Child, Result
from tests.engine.simulated import squad
from tests.strategies import examples

YEAR = 365
ONE = (Result("a", "40 m", 0, 7.0),)


def share_inside(seeds: range, *, crooked: bool) -> tuple[float, int]:
    """Of held-out results, how many lie in the 80 % interval; and how many there were."""
    inside, asked = 0, 0
    for seed in seeds:
        made = squad(seed, crooked=crooked)
        fitted = ability.fit(made.seen, made.children)
        known = {child.id: child for child in made.children}
        for row in made.held:
            low, high = fitted.predict(known[row.child], row.trial, row.day).between()
            inside += low <= row.seconds <= high
            asked += 1
    return inside / asked, asked


@pytest.mark.parametrize(("crooked", "least", "most"), [(False, 0.77, 0.83), (True, 0.72, 0.88)])
def test_four_in_five_lie_in_the_interval(crooked: bool, least: float, most: float, big: bool) -> None:
    share, asked = share_inside(range(80 if big else 14), crooked=crooked)
    assert asked >= (5000 if big else 800)
    assert least <= share <= most


def test_predictions_beat_the_age_line_and_the_last_result() -> None:
    ours, last = 0.0, 0.0
    for seed in range(5):
        made = squad(seed)
        fitted = ability.fit(made.seen, made.children)
        known = {child.id: child for child in made.children}
        for row in made.held:
            before = [r for r in made.seen if r.child == row.child and r.trial == row.trial and r.day <= row.day]
            if before:
                ours += (fitted.predict(known[row.child], row.trial, row.day).log_mean - math.log(row.seconds)) ** 2
                last += (math.log(before[-1].seconds) - math.log(row.seconds)) ** 2
    assert ours < 0.9 * last


def test_a_child_without_results_gets_the_age_line_with_more_width() -> None:
    made = squad(3)
    fitted = ability.fit(made.seen, made.children)
    old, young = (fitted.predict(Child(id, -age * YEAR), "40 m", 0) for id, age in [("x", 14), ("y", 8)])
    seen = fitted.predict(next(child for child in made.children if child.born), "40 m", 0)
    assert old.median_s < young.median_s
    assert old.log_sd > seen.log_sd
    assert fitted.predict(Child("z"), "40 m", 0).log_sd > old.log_sd  # nor its age


def test_a_better_estimate_is_a_shorter_time() -> None:
    fitted = ability.fit(ONE, [])
    quick, slow = (fitted.predict(Child("n", -11 * YEAR, told), "40 m", 0) for told in (1.0, -1.0))
    assert quick.median_s < slow.median_s


def test_one_result_moves_a_child_part_of_the_way() -> None:
    rows = [Result(f"c{n}", "40 m", 0, 7.0) for n in range(12)]
    children = [Child(f"c{n}", -11 * YEAR) for n in range(13)]
    without = ability.fit(rows, children).predict(children[12], "40 m", 0)
    having = ability.fit([*rows, Result("c12", "40 m", 0, 6.0)], children).predict(children[12], "40 m", 0)
    assert 6.0 < having.median_s < without.median_s
    assert having.log_sd < without.log_sd


def test_old_results_fade() -> None:
    rows = [Result(f"c{n}", "40 m", 0, 7.0) for n in range(12)]
    children = [Child(f"c{n}", -11 * YEAR) for n in range(12)]
    fitted = ability.fit(rows, children)
    widths = [fitted.predict(children[0], "40 m", days).level_sd for days in (0, 100, 1000)]
    assert widths == sorted(widths)
    assert widths[0] < widths[1] < widths[2]


def test_another_trial_is_predicted_from_the_first() -> None:
    made = squad(4)
    quickest = min((row for row in made.seen if row.trial == "40 m"), key=lambda row: row.seconds)
    rows = [row for row in made.seen if row.child != quickest.child or row.trial == "40 m"]
    fitted = ability.fit(rows, made.children)
    child = next(child for child in made.children if child.id == quickest.child)
    nobody = Child("new", child.born, child.estimate)
    assert fitted.predict(child, "box", 0).median_s < fitted.predict(nobody, "box", 0).median_s


def test_the_spreads_are_named() -> None:
    spreads = ability.fit(squad(5).seen, ()).spreads
    assert set(spreads) == {"child", "own", "form", "noise", "40 m", "5-10-5", "box"}
    assert spreads["40 m"] < spreads["box"]


def test_a_single_result_is_enough_to_begin() -> None:
    prediction = ability.fit(ONE, [Child("a", -11 * YEAR)]).predict(Child("a", -11 * YEAR), "40 m", 0)
    low, high = prediction.between()
    assert low < prediction.median_s < high
    assert prediction.median_s == pytest.approx(7.0, rel=0.02)


def test_an_unknown_trial_is_refused() -> None:
    with pytest.raises(ability.UnknownTrialError, match="box"):
        ability.fit(ONE, []).predict(Child("a"), "box", 0)


@pytest.mark.parametrize("rows", [(), (Result("a", "t", 0, 0.0),), (Result("a", "t", 0, math.inf),)])
def test_nothing_to_learn_from_is_refused(rows: tuple[Result, ...]) -> None:
    with pytest.raises(ValueError, match="result"):
        ability.fit(rows, [])


results = st.builds(
    Result,
    child=st.sampled_from("abcdef"),
    trial=st.sampled_from(["40 m", "box"]),
    day=st.integers(0, 900),
    seconds=st.floats(1.0, 60.0),
)


@examples(6)
@given(rows=st.lists(results, min_size=1, max_size=25), lot=st.randoms(use_true_random=False))
def test_any_results_in_any_order_give_the_same_finite_prediction(rows: list[Result], lot: object) -> None:
    shuffled = list(rows)
    lot.shuffle(shuffled)  # type: ignore[attr-defined]
    children = [Child("a", -4000, 0.5), Child("b", -3000)]
    trial = rows[0].trial
    first = ability.fit(rows, children).predict(children[0], trial, 950)
    again = ability.fit(shuffled, children[::-1]).predict(children[0], trial, 950)
    assert first == again
    assert 0 < first.level_sd < first.log_sd
    assert math.isfinite(first.median_s)


@examples(6)
@given(rows=st.lists(results, min_size=1, max_size=20), factor=st.floats(0.5, 2.0))
def test_a_slower_watch_slows_every_prediction_alike(rows: list[Result], factor: float) -> None:
    scaled = [Result(row.child, row.trial, row.day, row.seconds * factor) for row in rows]
    child = Child(rows[0].child, -4000)
    one = ability.fit(rows, [child]).predict(child, rows[0].trial, 900)
    other = ability.fit(scaled, [child]).predict(child, rows[0].trial, 900)
    assert other.log_mean - one.log_mean == pytest.approx(math.log(factor), abs=1e-3)
    assert other.log_sd == pytest.approx(one.log_sd, rel=1e-2)
