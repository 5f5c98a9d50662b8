"""The picture: up is better, everything within its frame, and round figures along the side."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.results.progress_drawing import HEIGHT, WIDTH, Asked, Spot, draw, round_values

START = date(2026, 3, 7)


def spots(*values: float, days: int = 14) -> list[Spot]:
    return [Spot(START + timedelta(days=days * at), value) for at, value in enumerate(values)]


def test_up_is_better_whatever_the_unit() -> None:
    quick, far = draw(Asked(spots(4000, 3500), up=False)), draw(Asked(spots(1400, 1700), up=True))
    for drawing in (quick, far):
        assert drawing.marks[1].y < drawing.marks[0].y
        assert drawing.marks[1].x > drawing.marks[0].x


def test_the_line_leaves_out_what_cannot_be_compared() -> None:
    first, odd, last = spots(4000, 3000, 3900)
    drawing = draw(Asked([first, Spot(odd.on, odd.value, odd=True), last], up=False))
    assert drawing.path.count("L") == 1
    assert len(drawing.marks) == 3


def test_the_band_lies_about_its_values() -> None:
    drawing = draw(Asked(spots(4000, 4000, 3900), up=False, band=(3900.0, 4100.0)))
    assert drawing.band is not None
    middle = drawing.band.y + drawing.band.height / 2
    assert middle == pytest.approx(drawing.marks[0].y, abs=0.2)
    assert draw(Asked(spots(4000.0), up=False)).band is None


def test_a_published_line_runs_from_edge_to_edge() -> None:
    steps = ((START, 3800.0), (START + timedelta(days=14), 3700.0))
    (beside,) = draw(Asked(spots(4000, 3900), up=False, beside=(("half of them", steps),))).beside
    assert beside.path.startswith("M46 ")
    assert beside.path.split()[-2] == f"L{beside.x:g}"


def test_one_day_stands_in_the_middle() -> None:
    (mark,) = draw(Asked(spots(4000), up=False)).marks
    assert WIDTH / 3 < mark.x < WIDTH * 2 / 3


numbers = st.floats(1, 60_000, allow_nan=False)


@given(values=st.lists(numbers, min_size=1, max_size=20), up=st.booleans(), days=st.integers(0, 90))
def test_all_of_it_stays_in_the_frame(values: list[float], up: bool, days: int) -> None:
    drawing = draw(Asked(spots(*values, days=days), up=up))
    assert all(0 <= mark.x <= WIDTH and 0 <= mark.y <= HEIGHT for mark in drawing.marks)
    assert all(one < two for (one, _), (two, _) in zip(drawing.along, drawing.along[1:], strict=False))


@given(low=numbers, more=st.floats(0, 60_000))
def test_the_figures_at_the_side_are_few_and_hold_everything(low: float, more: float) -> None:
    found = round_values(low, low + more)
    assert 2 <= len(found) <= 7
    assert found[0] <= low
    assert found[-1] >= low + more
