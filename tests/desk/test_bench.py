"""The bench measures what it says, and the engine is never worse than the plain methods."""

from __future__ import annotations

import json
from io import StringIO

import pytest
from django.core.management import call_command

from clubapp.desk.bench.groups import fair_groups


def test_the_engine_is_never_worse_than_the_plain_methods() -> None:
    figures = fair_groups(children=24, groups=6).figures
    assert float(figures["score"]) <= min(float(figures["score_count_off"]), float(figures["score_serpentine"]))
    assert float(figures["bound"]) <= float(figures["score"])


@pytest.mark.long
def test_every_phone_hears_every_tap_and_the_bare_broadcast() -> None:
    out = StringIO()
    call_command("bench", "--format", "json", "--sockets", "6", stdout=out)
    groups, roster, bell = json.loads(out.getvalue())
    assert groups["name"] == "groups 24 x 6"
    assert min(roster["figures"].values()) > 0
    assert bell["figures"]["sockets"] == 6
    assert 0 < bell["figures"]["bare_median_ms"] <= bell["figures"]["bare_worst_ms"]
    assert 0 < bell["figures"]["median_ms"] <= bell["figures"]["worst_ms"]
