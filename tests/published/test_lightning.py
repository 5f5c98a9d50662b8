"""After thunder: no play for 30 minutes, and each new thunder begins them again.

Source: NCAA Sports Medicine Handbook, guideline on lightning safety, as quoted by the AOSSM (sportsmed.org, p. 52) and
gdysc.org. The cases are worked from that text.
"""

from __future__ import annotations

import pytest

from clubapp.engine import clock, safety
from clubapp.engine.clock import Command, Kind, Schedule, Segment

MINUTE = 60_000
TWO_O_CLOCK = 1_790_000_000_000 - 1_790_000_000_000 % (24 * 60 * MINUTE) + 14 * 60 * MINUTE


def again_after(minutes: list[int]) -> int:
    """Minutes after two o'clock from which play may be considered, when thunder was heard at these."""
    start = clock.fold([Command(Kind.START, 1, 0, TWO_O_CLOCK)], clock.waiting(Schedule((Segment("work", 3600, 1),))))
    heard = [Command(Kind.THUNDER, 2 + n, 1 + n, TWO_O_CLOCK + m * MINUTE) for n, m in enumerate(minutes)]
    again = clock.view(clock.fold(heard, start), TWO_O_CLOCK).again_ms
    assert again is not None
    return (again - TWO_O_CLOCK) // MINUTE


@pytest.mark.parametrize(("heard", "again"), [([0], 30), ([0, 29], 59), ([0, 10, 30], 60)])
def test_thirty_minutes_after_the_last_thunder(heard: list[int], again: int) -> None:
    assert again_after(heard) == again


def test_the_bell_and_the_guidance_mean_the_same_wait() -> None:
    assert clock.THUNDER_MS == safety.THUNDER_WAIT_S * 1000
