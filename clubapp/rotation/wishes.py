"""What a coach asks of the groups and the rotation."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from typing import Any

BALANCED = ("speed_s", "age", "skill")
KINDS = ("first_timer:yes", "sex:f", "sex:m")
YEARS_APART = 2.0


@dataclass(frozen=True)
class Wishes:
    """groups, rounds: how many. work_s, change_s: seconds, None = fitted to the minutes there are.

    balance: attributes made equal between groups. not_alone: kinds of which no group holds exactly one child.
    within_years: every child has another within so many years in the group; None = no such rule.
    dropped: rules left out today only: "pair:<id>", "not_alone:<kind>", "within:<child>" or "within_years",
        "lock:<child>", "alone:<station>" (takes one group though it needs more), "size" (a locked group may grow),
        "rest" (groups may rest though there is room).
    """

    groups: int = 1
    rounds: int = 1
    work_s: int | None = None
    change_s: int | None = None
    balance: tuple[str, ...] = BALANCED
    not_alone: tuple[str, ...] = ("first_timer:yes",)
    within_years: float | None = YEARS_APART
    dropped: tuple[str, ...] = ()

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds that still count today."""
        return tuple(kind for kind in self.not_alone if f"not_alone:{kind}" not in self.dropped)

    @property
    def years(self) -> float | None:
        """The age rule that still counts today."""
        return None if "within_years" in self.dropped else self.within_years

    def stored(self) -> dict[str, Any]:
        return asdict(self)


def from_stored(row: Mapping[str, Any]) -> Wishes:
    """Read back what `stored` wrote; a key of another release is left aside, a missing one takes its default."""
    known = {field.name for field in fields(Wishes)}
    rows = {name: row[name] for name in known & row.keys()}
    kept: dict[str, Any] = {name: tuple(value) if isinstance(value, list) else value for name, value in rows.items()}
    return Wishes(**kept)
