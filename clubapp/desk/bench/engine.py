"""The engine's rows, one after another."""

from __future__ import annotations

from collections.abc import Iterator

from clubapp.desk.bench import fitting, large, memory, mixes, small, turns
from clubapp.desk.bench.effort import Effort
from clubapp.desk.bench.rows import Row
from clubapp.desk.bench.squads import ruled
from clubapp.engine import groups as engine_groups
from clubapp.engine import rotation as engine_rotation


def rows(effort: Effort) -> Iterator[Row]:
    """Each row as soon as it is measured."""
    warm_up()
    yield small.row(effort)
    for children, groups in large.SIZES:
        yield large.row(children, groups, effort)
    yield turns.row(6, effort)
    yield turns.row(8, effort)
    yield mixes.fours(effort)
    yield mixes.threes(effort)
    yield mixes.with_rules(effort)
    yield fitting.row(effort)
    yield memory.row()


def warm_up() -> None:
    """What is imported once is not measured."""
    engine_groups.solve(ruled(16, 4, 1))
    engine_rotation.solve(turns.problem(4, 1))
