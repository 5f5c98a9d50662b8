"""The bench of games: never less equal than the plain way, on instances that any reader can make again."""

from __future__ import annotations

import json
from io import StringIO

from django.core.management import call_command

from clubapp.desk.bench import games


def test_a_field_is_the_same_every_time() -> None:
    assert games.field(12, 3) == games.field(12, 3)
    assert games.field(12, 3) != games.field(12, 4)


def test_everything_is_more_equal_than_the_plain_ways() -> None:
    out = StringIO()
    call_command("bench", "games", "--instances", "1", "--format", "json", stdout=out)
    heats, relay, handicap, chase, fixtures = (row["figures"] for row in json.loads(out.getvalue()))
    for row in (heats, relay):
        assert row["spread_ms_median"] <= row["snake_ms_median"]
        assert row["spread_ms_median"] < row["lot_ms_median"]
    assert handicap["chances_factor_median"] < handicap["together_factor_median"] < handicap["line_factor_median"]
    assert handicap["simulated_factor_median"] < 2 * handicap["chances_factor_median"]
    assert chase["lot_least_share_median"] < chase["least_share_median"]
    assert chase["turns_apart_most"] <= 1
    assert fixtures["slots"] <= fixtures["table_slots"]
