"""The bench's row for field plans."""

from __future__ import annotations

from clubapp.desk.bench import engine, fields
from clubapp.desk.bench.effort import Effort


def test_it_is_never_worse_than_shelves_and_knows_a_bound() -> None:
    assert engine.parts()["field"] is fields.row
    figures = fields.row(Effort(instances=1)).figures
    assert figures["instances"] == 1
    assert float(figures["bound_metres"]) <= float(figures["metres_median"]) <= float(figures["shelves_metres"])
