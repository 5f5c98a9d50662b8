"""The names to count when everybody was stopped: every child who is here, whoever leads the group."""

from __future__ import annotations

from dataclasses import dataclass

from clubapp.live.page import Child, Evening, Group


@dataclass(frozen=True)
class Muster:
    """groups: with those who are here, empty ones left out. others: here, in no group."""

    groups: tuple[Group, ...]
    others: tuple[Child, ...]

    @property
    def children(self) -> int:
        """How many there are to count."""
        return sum(len(group.children) for group in self.groups) + len(self.others)


def muster_of(evening: Evening) -> Muster:
    """To a helper at the gate nobody's name is told: that page asks for none."""
    plan = evening.plan
    groups = evening.groups(plan.groups) if plan else ()
    others = sorted(evening.here - (plan.placed if plan else frozenset()), key=lambda one: evening.names.get(one, ""))
    return Muster(tuple(group for group in groups if group.children), tuple(map(evening.child, others)))
