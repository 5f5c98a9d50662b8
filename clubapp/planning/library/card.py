"""A card of the activity library: how an activity is set up and run, for whom, with what, and what it loads."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from clubapp.core.diagram import reading
from clubapp.core.diagram.shapes import Layout

FORMAT, VERSION = "fieldbell-activity", 1


class Aim(StrEnum):
    """What an activity teaches, in the library's order."""

    STRAIGHT = "straight"
    TURNING = "turning"
    REACTION = "reaction"
    JUMPING = "jumping"
    BALL = "ball"
    CHASING = "chasing"


class Level(StrEnum):
    EASY = "easy"
    STEADY = "steady"
    HARD = "hard"


class Place(StrEnum):
    """What a card's "lanes" are."""

    LANE = "lane"
    PAIR = "pair"
    FIELD = "field"


class Tool(StrEnum):
    """What the phone at the station offers beside the bell."""

    NONE = ""
    CALLER = "caller"
    WATCH = "watch"


class Format(StrEnum):
    ACTIVITY = FORMAT


@dataclass(frozen=True)
class Card:
    """One activity. Seconds, metres and counts are of one turn of one child.

    queue: least and most children in one lane; at_once: how many of them work at a time; every_s: from one start to
    the next; rest: how many times its work a child has to rest, 0 where nothing asks for it; turns: at most, a child
    and session. kit is a lane's, kit_shared the whole station's. sprints: runs with all one has. contacts: of a foot
    with the ground when landing. soft: nothing for a bare hall floor.
    """

    name: str
    aims: tuple[Aim, ...]
    purpose: str
    how: tuple[str, ...]
    look_for: tuple[str, ...]
    easier: str
    harder: str
    ages: tuple[int, int]
    children: tuple[int, int]
    place: Place
    lanes: int
    queue: tuple[int, int]
    at_once: int
    work_s: int
    every_s: int
    rest: int
    turns: int
    minutes: int
    adults: int
    kit: dict[str, int]
    kit_shared: dict[str, int]
    level: Level
    metres: int
    contacts: int
    sprints: int
    loud: bool
    soft: bool
    tool: Tool
    cautions: tuple[str, ...]
    sources: tuple[str, ...]
    diagram: dict[str, Any]

    @property
    def layout(self) -> Layout:
        return reading.layout_of(self.diagram)

    @property
    def kit_all(self) -> dict[str, int]:
        """What the station needs with every lane set up."""
        total = {name: number * self.lanes for name, number in self.kit.items()}
        for name, number in self.kit_shared.items():
            total[name] = total.get(name, 0) + number
        return total

    def as_json(self) -> dict[str, Any]:
        """The card as a file holds it."""
        return {"format": FORMAT, "version": VERSION} | {name: _plain(value) for name, value in vars(self).items()}


def _plain(value: Any) -> Any:
    return list(map(_plain, value)) if isinstance(value, tuple) else str(value) if isinstance(value, StrEnum) else value
