"""The bench of planning: never worse than the first that fits, on instances that any reader can make again."""

from __future__ import annotations

import json
from io import StringIO

from django.core.management import call_command

from clubapp.desk.bench import planning


def test_a_menu_costs_less_than_the_first_that_fits() -> None:
    assert planning.asked(3) == planning.asked(3) != planning.asked(4)
    out = StringIO()
    call_command("bench", "plan", "--instances", "1", "--format", "json", stdout=out)
    (row,) = (row["figures"] for row in json.loads(out.getvalue()))
    assert row["instances"] == 1
    assert row["bound_median"] <= row["cost_median"] <= row["plain_cost_median"]
