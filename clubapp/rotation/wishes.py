"""What a coach asks of the groups and the rotation."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from typing import Any

BALANCED = ("speed_s", "age", "skill")
KINDS = ("first_timer:yes", "sex:f", "sex:m")
YEARS_APART = 2.0
EVEN, LIKE = "even", "like"  # every group as able as the next; like with like


@dataclass(frozen=True)
class Wishes:
    """groups, rounds: how many. work_s, change_s: seconds, None = fitted to the minutes there are.

    balance: attributes made equal between groups. not_alone: kinds of which no group holds exactly one child.
    within_years: every child has another within so many years in the group; None = no such rule.
    largest_age_gap: years between the oldest and the youngest of a group; None = no such rule.
    guided: a first-timer is with somebody who has come three times. new_company: at equal fairness, with other children
    than in the last weeks.
    hard_run: at most so many hard stations one after the other; None = no such rule.
    adults_stay: adults who stay at stations, so that no more stations run at once; None = adults go with the groups.
    succession: each station is followed by each other as evenly as can be.
    dropped: rules left out today only: "pair:<id>", "not_alone:<kind>", "within:<child>" or "within_years",
        "age_gap", "guided", "lock:<child>", "hard_run", "staffed" (adults go with the groups),
        "alone:<station>" (takes one group though it needs more), "size" (a locked group may grow),
        "rest" (groups may rest though there is room).
    """

    groups: int = 1
    rounds: int = 1
    work_s: int | None = None
    change_s: int | None = None
    balance: tuple[str, ...] = BALANCED
    not_alone: tuple[str, ...] = ("first_timer:yes",)
    within_years: float | None = YEARS_APART
    mode: str = EVEN
    largest_age_gap: float | None = None
    guided: bool = False
    new_company: bool = True
    hard_run: int | None = None
    adults_stay: int | None = None
    succession: bool = False
    dropped: tuple[str, ...] = ()

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds that still count today."""
        return tuple(kind for kind in self.not_alone if f"not_alone:{kind}" not in self.dropped)

    @property
    def years(self) -> float | None:
        """The age rule that still counts today."""
        return None if "within_years" in self.dropped else self.within_years

    @property
    def age_gap(self) -> float | None:
        """The rule on oldest and youngest that still counts today."""
        return None if "age_gap" in self.dropped else self.largest_age_gap

    @property
    def guides(self) -> bool:
        """Whether first-timers are to be guided today."""
        return self.guided and "guided" not in self.dropped

    @property
    def most_hard(self) -> int | None:
        """The rule on hard stations that still counts today."""
        return None if "hard_run" in self.dropped else self.hard_run

    @property
    def staffed(self) -> int | None:
        """Stations that can run at once for want of adults; None = as many as there are."""
        return None if "staffed" in self.dropped else self.adults_stay

    def stored(self) -> dict[str, Any]:
        return asdict(self)


def from_stored(row: Mapping[str, Any]) -> Wishes:
    """Read back what `stored` wrote; a key of another release is left aside, a missing one takes its default."""
    known = {field.name for field in fields(Wishes)}
    rows = {name: row[name] for name in known & row.keys()}
    kept: dict[str, Any] = {name: tuple(value) if isinstance(value, list) else value for name, value in rows.items()}
    return Wishes(**kept)
