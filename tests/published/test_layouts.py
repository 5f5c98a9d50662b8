"""The standard tests' grounds and ways against the books they come from.

Sources beside each check. "Ess." is NSCA, Essentials of Strength Training and Conditioning, 4th ed., chapter 13
(McGuigan). The exact yard and foot: the international yard and pound agreement of 1959.
"""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import pytest

from clubapp.core.diagram.shapes import Gait, Layout, Point, length
from clubapp.results.library import standards
from clubapp.results.models import METRES_IN


def ground(code: str) -> Layout:
    return standards()[code].layout


def metres(code: str) -> Decimal:
    row = standards()[code].row
    return Decimal(row["distance"]) * METRES_IN[row.get("distance_unit", "m")]


def lengths(code: str) -> list[Decimal]:
    return [leg.length for leg in ground(code).legs]


def cones(code: str) -> dict[str, Point]:
    return {cone.name: cone.at for cone in ground(code).cones}


# Yards and feet are exact; the metres are printed beside them in Ess. 13.18 and 13.20 and for the blocks as 36.6 m.
@pytest.mark.parametrize(
    ("code", "exact"),
    [
        ("shuttle-5-10-5-yd", "18.288"),
        ("t-run", "36.576"),
        ("sprint-40-yd", "36.576"),
        ("sprint-20-yd", "18.288"),
        ("shuttle-4x30-ft", "36.576"),
        ("l-run", "27.432"),
        ("turn-505-left", "10"),
        ("shuttle-10x5-m", "50"),
        ("sprint-40-m", "40"),
    ],
)
def test_the_way_is_as_long_as_the_test_says(code: str, exact: str) -> None:
    assert metres(code) == Decimal(exact)
    layout = ground(code)
    assert layout.length * METRES_IN[layout.unit] == Decimal(exact)


def test_5_10_5() -> None:
    """Ess. 13.20: lines 5 yards apart; 5 one way, 10 back, 5 to the middle; best of two."""
    assert lengths("shuttle-5-10-5-yd") == [5, 10, 5]
    assert [line.start[0] for line in ground("shuttle-5-10-5-yd").lines] == [-5, 0, 5]
    assert standards()["shuttle-5-10-5-yd"].starter.attempts == 2


def test_t_run() -> None:
    """Ess. 13.18: 10 yards to B, C and D 5 yards either side; run, three times sideways, backwards home."""
    named = cones("t-run")
    assert length(named["A"], named["B"]) == 10
    assert length(named["B"], named["C"]) == length(named["B"], named["D"]) == 5
    sideways = Gait.SHUFFLE
    assert [leg.gait for leg in ground("t-run").legs] == [Gait.RUN, sideways, sideways, sideways, Gait.BACK]
    assert lengths("t-run") == [10, 5, 10, 5, 10]


@pytest.mark.parametrize("foot", ["left", "right"])
def test_505(foot: str) -> None:
    """Ess. 13.21: 10 m run-in, gate, 5 m to the turning line and back; each foot; 10 m are timed."""
    layout = ground(f"turn-505-{foot}")
    assert [(leg.gait, leg.length) for leg in layout.legs] == [(Gait.RUN_IN, 10), (Gait.RUN, 5), (Gait.RUN, 5)]


def test_illinois() -> None:
    """rotoruaunited.co.nz and nrpt.co.uk: 10 m by 5 m, four cones in the corners, four in the middle 3.3 m apart."""
    named, middle = cones("illinois"), [cone.at for cone in ground("illinois").cones if not cone.name]
    assert (length(named["A"], named["B"]), length(named["A"], named["D"])) == (10, 5)
    assert [length(a, b) for a, b in pairwise(middle)] == [Decimal("3.3")] * 3
    assert {at[0] for at in middle} == {Decimal("2.5")}


def test_l_run_from_memory() -> None:
    """No source was read: A to B and B to C 5 yards at a right angle, 30 yards in all."""
    named = cones("l-run")
    assert (named["A"], named["B"], named["C"]) == ((0, 0), (0, 5), (5, 5))
    assert lengths("l-run") == [5] * 6
    assert not standards()["l-run"].checked


def test_10_times_5_metres_from_memory() -> None:
    """Council of Europe, Eurofit 1993, from memory: two lines 5 m apart and 1.2 m long, five times there and back."""
    layout = ground("shuttle-10x5-m")
    assert lengths("shuttle-10x5-m") == [5] * 10
    assert [length(line.start, line.end) for line in layout.lines] == [Decimal("1.2")] * 2
    assert not standards()["shuttle-10x5-m"].checked


def test_the_shuttle_with_two_blocks_from_memory() -> None:
    """1985 survey of schools in the United States, the layout from memory: 30 feet, four times."""
    assert lengths("shuttle-4x30-ft") == [30] * 4
    assert not standards()["shuttle-4x30-ft"].checked


def test_a_sprint_s_run_out_and_rest() -> None:
    """Ess. 13.22: 20 yards (18 m) free behind the line, two minutes between trials."""
    words = " ".join(str(step) for step in standards()["sprint-20-m"].how)
    assert "18 m (20 yd)" in words
    assert "two minutes" in words


def test_who_runs_backwards_has_somebody_behind() -> None:
    """Ess. 13.18: a spotter and a mat behind the end of the T test, because of the back-pedalling."""
    for standard in standards().values():
        if any(leg.gait is Gait.BACK for leg in standard.layout.legs):
            assert any("adult stands behind" in str(step) for step in standard.how)
