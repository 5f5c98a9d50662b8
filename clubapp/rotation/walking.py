"""How far groups walk at change-overs where the stations stand now, and whether the plan's seconds are enough."""

from __future__ import annotations

from collections.abc import Iterator

from django.utils.translation import gettext as _

from clubapp.rotation.bridge import WALK_M_S, longest_walks
from clubapp.rotation.evening import Evening
from clubapp.rotation.queries import PlanView


def walking(plan: PlanView, evening: Evening) -> str:
    """Nothing where no station has a place. The plan keeps its times when stations are moved; this does not."""
    rounds = [[str(station) if station else None for station in row] for row in plan.rounds]
    walks = longest_walks(evening.stations, rounds)
    if not any(walks):
        return ""
    far = _("Longest walk at a change-over: %(m)d m.") % {"m": round(max(walks))}
    return " ".join([far, *_short(plan, walks)])


def _short(plan: PlanView, walks: tuple[float, ...]) -> Iterator[str]:
    there = [entry.seconds for entry in plan.timetable if entry.kind == "change"]
    late = [
        (metres / WALK_M_S, given) for metres, given in zip(walks, there, strict=False) if metres / WALK_M_S > given
    ]
    if late:
        needed, given = max(late, key=lambda one: one[0] - one[1])
        words = _(
            "It takes about %(needed)d s, and this plan gives %(given)d s: stations nearer together, or new times."
        )
        yield words % {"needed": round(needed), "given": given}
