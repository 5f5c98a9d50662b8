"""The bench of planning: never worse than the first that fits, on instances that any reader can make again."""

from __future__ import annotations

import json
from io import StringIO

from django.core.management import call_command

from clubapp.desk.bench import planning
from clubapp.engine import menu


def test_a_menu_costs_less_than_the_first_that_fits_and_ways_are_no_longer_than_on_shelves() -> None:
    assert planning.asked(3) == planning.asked(3) != planning.asked(4)
    out = StringIO()
    call_command("bench", "plan", "--instances", "1", "--format", "json", stdout=out)
    row, field = (row["figures"] for row in json.loads(out.getvalue()))
    assert row["instances"] == field["instances"] == 1
    assert row["bound_median"] <= row["cost_median"] <= row["plain_cost_median"]
    assert field["bound_metres"] <= field["metres_median"] <= field["shelves_metres"]


def test_the_instance_without_a_menu_says_why_and_each_tap_it_offers_helps() -> None:
    """Of the chasing activities those for groups of four were all played lately."""
    problem = planning.asked(6)
    outcome = menu.solve(problem, seed=6)
    assert outcome.answer is None
    assert {reason.code for reason in outcome.reasons} == {"aim", "fresh"}
    assert all(reason.way_out for reason in outcome.reasons)
    changed = list(planning.without(problem, outcome.reasons))
    assert len(changed) == 2
    assert all(menu.solve(one, seed=6).answer is not None for one in changed)
