"""The engine's rows, one after another."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from clubapp.desk.bench import fitting, large, memory, mixes, small, turns
from clubapp.desk.bench.effort import Effort
from clubapp.desk.bench.rows import Row
from clubapp.desk.bench.squads import ruled
from clubapp.engine import groups as engine_groups
from clubapp.engine import rotation as engine_rotation


def parts() -> dict[str, Callable[[Effort], Row]]:
    """The rows by a short name."""
    return {
        "small": small.row,
        **{f"groups{children}": partial(large.row, children, groups) for children, groups in large.SIZES},
        "rotation6": partial(turns.row, 6),
        "rotation8": partial(turns.row, 8),
        "fours": mixes.fours,
        "threes": mixes.threes,
        "mixing_rules": mixes.with_rules,
        "repair": fitting.row,
        "memory": lambda _: memory.row(),
    }


def rows(effort: Effort, only: str = "") -> Iterator[Row]:
    """Each row as soon as it is measured, or one of them."""
    warm_up()
    yield from (make(effort) for name, make in parts().items() if only in ("", name))


def warm_up() -> None:
    """What is imported once is not measured."""
    engine_groups.solve(ruled(16, 4, 1))
    engine_rotation.solve(turns.problem(4, 1))
