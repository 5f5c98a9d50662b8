"""A plan that runs and what may happen to it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from clubapp.engine import groups as engine_groups
from clubapp.engine.repair import (
    AdultGone,
    Closed,
    GoEasy,
    Late,
    Left,
    Lost,
    Merged,
)
from tests.engine.repairs import running, solved, with_changes


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        (Left("c099"), "c099 is in no group"),
        (GoEasy("c099"), "c099 is in no group"),
        (Late("c000"), "in a group already"),
        (Late("c099"), "nothing is known"),
        (Closed("Z"), "no station Z"),
        (AdultGone("Z"), "no station Z"),
        (Closed("A", 1), "from round 1"),
        (Closed("A", 5), "from round 5"),
        (Merged(3), "group 4"),
        (Merged(1, (1,)), "group 2"),
        (Lost(0), "at least a second"),
    ],
)
def test_changes_that_speak_of_nothing(change: object, complaint: str) -> None:
    with pytest.raises(ValueError, match=complaint):
        with_changes(running(), change)  # type: ignore[arg-type]


def test_plans_that_do_not_fit_together() -> None:
    problem = running()
    with pytest.raises(ValueError, match="no round 5"):
        replace(problem, at_round=5)
    with pytest.raises(ValueError, match="equally many"):
        replace(problem, groups=engine_groups.Answer(problem.groups.groups[:2]))
    with pytest.raises(ValueError, match="nothing is known of c011"):
        replace(problem, rules=replace(problem.rules, athletes=problem.rules.athletes[:11]))
    whoever_left = replace(
        problem, rules=replace(problem.rules, athletes=problem.rules.athletes[:11]), changes=(Left("c011"),)
    )
    assert "c011" not in {child for group in solved(whoever_left).groups.groups for child in group}
