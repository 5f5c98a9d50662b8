"""Heat index and limits on the wet-bulb globe temperature, against published values.

Heat index: the equation of the US National Weather Service (Rothfusz 1990, SR 90-23;
wpc.ncep.noaa.gov/html/heatindex_equation.shtml), worked apart from our code; 90/50, 90/70 and 100/50 agree with the
package pythermalcomfort 4.8.1 (34.8, 41.1 and 48.0 °C). Limits: AAP 2000
(pediatrics.aappublications.org/highwire/markup/62897), ACSM 2007 in the NATA statement of 2015 (PMC5094838, table 3),
Georgia's high schools (after Grundstein and others 2015). The bands of the index are from memory.
"""

from __future__ import annotations

import pytest

from clubapp.engine.safety import HeatBand, Level, Table, fahrenheit, heat_band, heat_index, wbgt_level

INDEX = {
    (70, 50): 69.53, (75, 60): 75.01, (79, 40): 78.74, (80, 40): 79.79, (80, 90): 86.34, (82, 90): 91.99,
    (85, 10): 81.40, (86, 90): 105.39, (88, 60): 95.15, (90, 50): 94.60, (90, 70): 105.92, (90, 85): 117.47,
    (95, 50): 105.22, (100, 10): 94.12, (100, 40): 109.26, (100, 50): 118.32, (110, 40): 135.66,
}  # fmt: skip


def test_the_heat_index_is_the_published_one() -> None:
    found = {at: round(heat_index(*at), 2) for at in INDEX}
    assert found == INDEX
    for (t, r), celsius in (((90, 50), 34.8), ((90, 70), 41.1), ((100, 50), 48.0)):
        assert round((heat_index(t, r) - 32) / 1.8, 1) == celsius


def test_bands_begin_at_their_first_degree() -> None:
    starts = {
        79.9: "below",
        80: "caution",
        90: "extreme caution",
        103: "danger",
        124.9: "danger",
        125: "extreme danger",
    }
    assert {index: heat_band(index)[0] for index in starts} == {at: HeatBand(name) for at, name in starts.items()}


def celsius(degrees: float) -> float:
    return (degrees - 32) / 1.8


@pytest.mark.parametrize(
    ("table", "readings"),
    [
        (Table.AAP, {23.9: 0, 24.0: 1, 25.9: 1, 25.95: 2, 26.0: 2, 29.0: 2, 29.1: 3}),
        (
            Table.ACSM,
            {celsius(f): level for f, level in {81.9: 0, 82.0: 1, 86.0: 1, 86.1: 2, 90.0: 2, 90.1: 3}.items()},
        ),
        (
            Table.GEORGIA,
            {celsius(f): level for f, level in {81.9: 0, 82.0: 1, 86.9: 1, 87.0: 2, 92.0: 2, 92.1: 3}.items()},
        ),
    ],
)
def test_each_table_s_steps_without_a_gap(table: Table, readings: dict[float, int]) -> None:
    assert {at: int(wbgt_level(at, table)) for at in readings} == readings


def test_without_a_table_the_strictest_holds() -> None:
    assert wbgt_level(24.0) is Level.SOFTER
    assert wbgt_level(29.1) is Level.STOP
    assert wbgt_level(29.1, Table.ACSM) is Level.SOFTER
    assert fahrenheit(29.1) > fahrenheit(29)
    with pytest.raises(ValueError, match="between 0 and 100"):
        heat_index(80, 101)
