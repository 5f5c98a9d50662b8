"""Offset and delay as RFC 5905 section 8 defines them.

The formulas and RFC 2030's misprint: RFC Editor errata 5020 and lists.ntp.org, hackers, 2009-June/023607. RFC numbers
the times from T1; here T1…T4 are t0…t3.
"""

from __future__ import annotations

import pytest

from clubapp.engine import clock
from clubapp.engine.clock import Sample

# T1, T2, T3, T4, offset, delay
CASES = {
    "erratum 5020: equal clocks, 50 ms each way": (0, 50, 50, 100, 0, 100),
    "server 5 s ahead, 30 ms up, 50 ms down, 4 ms inside": (1000, 6030, 6034, 1084, 4990, 80),
    "seconds instead of milliseconds": (100.000, 110.020, 110.025, 100.045, 10.000, 0.040),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_offset_and_delay(case: tuple[float, ...]) -> None:
    *times, offset, delay = case
    sample = Sample(*times)
    assert sample.offset_ms == pytest.approx(offset, abs=1e-9)
    assert sample.delay_ms == pytest.approx(delay, abs=1e-9)


def test_the_misprint_of_rfc_2030_gives_another_delay() -> None:
    """d = (T4 - T1) - (T2 - T3): right by chance for a server that answers at once, wrong for any other."""
    t1, t2, t3, t4, _offset, delay = CASES["server 5 s ahead, 30 ms up, 50 ms down, 4 ms inside"]
    misprint = (t4 - t1) - (t2 - t3)
    assert misprint == 88
    assert Sample(t1, t2, t3, t4).delay_ms == delay != misprint


def test_a_wrong_sign_in_the_offset_shows_in_the_erratum_s_case() -> None:
    t1, t2, t3, t4, offset, _delay = CASES["erratum 5020: equal clocks, 50 ms each way"]
    wrong = ((t2 - t1) - (t3 - t4)) / 2
    assert wrong == 50
    assert Sample(t1, t2, t3, t4).offset_ms == offset != wrong


def test_the_error_is_half_the_difference_of_the_ways_and_at_most_half_the_delay() -> None:
    sample = Sample(1000, 6030, 6034, 1084)
    assert sample.offset_ms - 5000 == (30 - 50) / 2
    found = clock.offset([sample])
    assert found is not None
    assert abs(found.offset_ms - 5000) <= found.error_ms == 40


def test_the_quickest_of_the_last_eight_counts() -> None:
    """The clock filter of section 10 keeps eight samples and prefers the least delay."""
    samples = [Sample(0, 10 * n, 10 * n, 20 * n) for n in (9, 8, 7, 1, 6, 5, 4, 3, 2)]
    assert clock.offset(samples) == clock.Offset(0, 10)
    assert clock.offset([Sample(0, 5, 5, 0), *samples[1:]]) == clock.Offset(0, 10)
