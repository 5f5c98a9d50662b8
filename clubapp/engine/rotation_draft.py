"""The rotation's variables for the solver: where each group is, and the moves between."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from clubapp.engine.rotation_problem import Problem
from clubapp.engine.rotation_room import Room

START = ""  # where a group is before its first station
Place = tuple[str, int, str]


@dataclass
class Draft:
    """at: (group, round, station). rest: (group, round). stay: resting, with the last station. move: from, to.

    running: (round, station), only where it must be known whether anybody is there. cost: weight and literal or count.
    """

    problem: Problem
    room: Room
    model: Any
    at: dict[Place, Any] = field(default_factory=dict)
    rest: dict[tuple[str, int], Any] = field(default_factory=dict)
    stay: dict[Place, Any] = field(default_factory=dict)
    move: dict[tuple[str, int, str, str], Any] = field(default_factory=dict)
    running: dict[tuple[int, str], Any] = field(default_factory=dict)
    cost: list[tuple[int, Any]] = field(default_factory=list)

    def there(self, turn: int, station: str) -> list[Any]:
        """Every group that can be at a station in a round."""
        keys = ((group, turn, station) for group in self.problem.groups)
        return [self.at[key] for key in keys if key in self.at]

    def choices(self, group: str, turn: int) -> list[Any]:
        """Every station where a group can be in a round."""
        keys = ((group, turn, station.id) for station in self.problem.stations)
        return [self.at[key] for key in keys if key in self.at]
