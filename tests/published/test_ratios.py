"""Adults per children against the figures of the NSPCC and its Child Protection in Sport Unit.

Sources: learning.nspcc.org.uk, "Recommended adult to child ratios" (September 2023): under 2 years 1:3, 2 to 3 years
1:4, 4 to 8 years 1:6, 9 to 12 years 1:8, 13 to 18 years 1:10, at least two adults always. thecpsu.org.uk, "Guidelines
on staffing and supervision ratios": the worked examples of 9, 25 and 10 children.
"""

from __future__ import annotations

import pytest

from clubapp.engine.safety import adults_needed, band_of

PUBLISHED = {0: 3, 1: 3, 2: 4, 3: 4, 4: 6, 8: 6, 9: 8, 12: 8, 13: 10, 18: 10}


@pytest.mark.parametrize(("age", "children"), PUBLISHED.items())
def test_children_per_adult(age: int, children: int) -> None:
    assert band_of(age).children_per_adult == children


@pytest.mark.parametrize(
    ("children", "age", "adults"),
    [(9, 1, 3), (25, 15, 3), (10, 15, 2)],
    ids=["9 under two", "25 of 13 to 18", "10 of 13 to 18"],
)
def test_worked_examples_of_the_cpsu(children: int, age: int, adults: int) -> None:
    assert adults_needed([age] * children).adults == adults


@pytest.mark.parametrize(
    ("children", "age", "adults"), [(24, 10, 3), (24, 6, 4), (17, 6, 3), (16, 10, 2), (17, 10, 3), (1, 10, 2)]
)
def test_the_rule_at_its_edges(children: int, age: int, adults: int) -> None:
    """Worked out by hand from the published ratios."""
    assert adults_needed([age] * children).adults == adults
