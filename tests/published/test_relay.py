"""Takeover zones and team points.

Sources: zones of 30 m for incoming legs up to 200 m and 20 m for longer ones, phstrack.com (events, relays); that the
scratch line of the 30 m zone is 20 m in and the 20 m zone is centred on its line is WA TR24.3, from memory. Points by
rank with n for the first of n teams, ties sharing: IAAF Kids' Athletics, A Practical Guide (2006), from memory; that
the next place is left out after a tie: clac.org.au (points score competition).
"""

from __future__ import annotations

import pytest

from clubapp.engine.relay import Zone, points, zone


@pytest.mark.parametrize(
    ("leg_m", "expected"),
    [(100.0, Zone(20.0, 10.0)), (200.0, Zone(20.0, 10.0)), (400.0, Zone(10.0, 10.0)), (201.0, Zone(10.0, 10.0))],
)
def test_takeover_zones(leg_m: float, expected: Zone) -> None:
    assert zone(leg_m) == expected
    assert expected.before_m + expected.after_m == (30.0 if leg_m <= 200 else 20.0)


def test_a_short_leg_has_no_zone() -> None:
    """Our rule of thumb: a zone is marked from 60 m on."""
    assert (zone(40.0), zone(59.9)) == (None, None)
    assert zone(60.0) == Zone(20.0, 10.0)


def test_nine_teams_get_nine_points_down_to_one() -> None:
    assert list(points({f"t{at}": 60_000 + at for at in range(9)}).values()) == [9, 8, 7, 6, 5, 4, 3, 2, 1]


def test_equal_teams_have_the_same_points_and_the_next_place_is_left_out() -> None:
    assert points({"a": 100, "b": 90, "c": 100, "d": 120, "e": None}) == {"b": 5, "a": 4, "c": 4, "d": 2, "e": 0}
