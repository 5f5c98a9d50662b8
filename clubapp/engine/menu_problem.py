"""What is asked of the menu of a session, and what an answer is."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property
from types import MappingProxyType

EASY, STEADY, HARD = 1, 2, 3
# Of the ground stays free for ways between the stations: common practice, no published source.
WAYS = 0.25


class Role(StrEnum):
    """What a card can be in a session, in the order of the evening."""

    WARM_UP = "warm-up"
    STATION = "station"
    GAME = "game"
    COOL_DOWN = "cool-down"


@dataclass(frozen=True)
class Card:
    """An activity as the menu sees one; kit of a lane, all else of one set-up with every lane.

    minutes: least, usual and most. queue: least and most children in a lane. wide_m, long_m: with run-outs.
    contacts: of a child's feet in landing, at most, a session. recent: played in the last two weeks.
    Raises ValueError for figures that cannot be.
    """

    id: str
    name: str
    roles: frozenset[Role]
    aims: tuple[str, ...]
    heat: int = STEADY
    ages: tuple[int, int] = (5, 18)
    children: tuple[int, int] = (1, 60)
    minutes: tuple[int, int, int] = (3, 6, 8)
    lanes: int = 1
    queue: tuple[int, int] = (1, 60)
    kit: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))
    kit_shared: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))
    wide_m: float = 1.0
    long_m: float = 1.0
    adults: int = 1
    contacts: int = 0
    starred: bool = False
    recent: bool = False

    def __post_init__(self) -> None:
        least, usual, most = self.minutes
        if not (1 <= least <= usual <= most and 1 <= self.children[0] <= self.children[1] and self.lanes >= 1):
            raise ValueError(f"minutes, children or lanes of {self.id} cannot be")
        if not (EASY <= self.heat <= HARD and self.aims and 1 <= self.queue[0] <= self.queue[1]):
            raise ValueError(f"intensity, aims or queue of {self.id} cannot be")
        if not (0 < self.wide_m < math.inf and 0 < self.long_m < math.inf):
            raise ValueError(f"the ground of {self.id} cannot be")

    def lanes_for(self, children: int) -> int:
        """As many as are drawn, fewer where so many children would not fill them, never fewer than hold them."""
        return max(-(-children // self.queue[1]), min(self.lanes, children // self.queue[0]))


@dataclass(frozen=True)
class Ground:
    """Of the venue, in metres."""

    wide_m: float
    long_m: float

    @property
    def usable_m2(self) -> float:
        return self.wide_m * self.long_m * (1 - WAYS)


@dataclass(frozen=True)
class SetUp:
    """What a card needs in a part: how often it is set up, with how many lanes each, and all of that together."""

    copies: int
    lanes: int
    kit: Mapping[str, int]
    area_m2: float
    adults: int


@dataclass(frozen=True)
class Problem:
    """aims: what the session is to teach. stations: as many as groups. youngest, oldest: in completed years.

    ground, kit: None = nobody wrote it down, so nothing is held against it. locks: the place of a part, from 0, and the
    id of its card. repeats: what was played in the last two weeks may come again; a locked card may always.
    shown: ids of cards just suggested, to be had again only where nothing else is as good. most_contacts: a child.
    names: of aims, in words.
    Raises ValueError for figures that cannot be, and for locks of parts or cards that are not there.
    """

    cards: tuple[Card, ...]
    aims: tuple[str, ...]
    children: int
    youngest: int
    oldest: int
    minutes: int
    stations: int
    adults: int
    ground: Ground | None = None
    kit: Mapping[str, int] | None = None
    gather_min: int = 3
    water_min: int = 2
    change_s: int = 60
    game: bool = True
    repeats: bool = False
    locks: Mapping[int, str] = field(default_factory=lambda: MappingProxyType({}))
    shown: frozenset[str] = frozenset()
    most_contacts: int | None = None
    names: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self) -> None:
        if len({card.id for card in self.cards}) < len(self.cards):
            raise ValueError("two cards have one id")
        if not 1 <= self.stations <= self.children or self.youngest > self.oldest:
            raise ValueError("there must be a child for every station, and the youngest is the youngest")
        if min(self.minutes, self.adults, self.gather_min, self.water_min, self.change_s) < 0:
            raise ValueError("minutes, seconds and adults cannot be negative")
        known = {card.id for card in self.cards}
        if any(place not in range(len(self.parts)) or card not in known for place, card in self.locks.items()):
            raise ValueError("a lock names a part or a card that is not there")

    @cached_property
    def parts(self) -> tuple[Role, ...]:
        """What each place of an answer is."""
        last = (Role.GAME, Role.COOL_DOWN) if self.game else (Role.COOL_DOWN,)
        return (Role.WARM_UP, *[Role.STATION] * self.stations, *last)

    @cached_property
    def by_id(self) -> Mapping[str, Card]:
        return {card.id: card for card in self.cards}

    @property
    def wholes(self) -> tuple[int, ...]:
        """Places of the parts that all children do at once."""
        return tuple(place for place, role in enumerate(self.parts) if role is not Role.STATION)

    @property
    def rounds(self) -> tuple[int, ...]:
        """Places of the stations."""
        return tuple(range(1, self.stations + 1))

    @property
    def free_s(self) -> int:
        """Seconds for all parts with a card, change-overs left out."""
        fixed_min = self.gather_min + (self.water_min if self.game else 0)
        return 60 * (self.minutes - fixed_min) - self.change_s * (self.stations - 1)

    def aim(self, aim: str) -> str:
        return self.names.get(aim, aim)

    def sizes(self, card: Card, role: Role) -> tuple[int, int, int]:
        """How often a card stands there at once, and the fewest and the most children at each."""
        if role is Role.STATION:
            return 1, self.children // self.stations, -(-self.children // self.stations)
        copies = -(-self.children // card.children[1])
        return copies, self.children // copies, -(-self.children // copies)

    def set_up(self, card: Card, role: Role) -> SetUp:
        copies, _least, most = self.sizes(card, role)
        lanes = card.lanes_for(most)
        kit = Counter({kind: number * lanes * copies for kind, number in card.kit.items()})
        kit.update({kind: number * copies for kind, number in card.kit_shared.items()})
        return SetUp(copies, lanes, kit, card.wide_m * card.long_m * copies, card.adults * copies)

    def misfit(self, card: Card, role: Role) -> str:
        """Why a card cannot be in such a part whatever else is chosen: "role", "ages", "children", "ground", or ""."""
        _copies, least, most = self.sizes(card, role)
        wrong = {
            "role": role not in card.roles,
            "ages": self.youngest < card.ages[0],
            "children": least < card.children[0] or most > card.children[1],
            "ground": self.ground is not None and not _fits(card, self.ground),
        }
        return next((name for name, so in wrong.items() if so), "")

    def unfit(self, card: Card, role: Role) -> str:
        """The same in words."""
        _copies, least, most = self.sizes(card, role)
        words = {
            "role": f"{card.name} is nothing for a {role}.",
            "ages": f"{card.name} is for children from {card.ages[0]}, and the youngest is {self.youngest}.",
            "children": f"{card.name} is for {card.children[0]} to {card.children[1]} children; "
            f"there are {least} to {most}.",
            "ground": f"{card.name} needs {card.wide_m:g} by {card.long_m:g} m of ground.",
        }
        return words.get(self.misfit(card, role), "")

    def able(self, place: int) -> tuple[Card, ...]:
        """The cards that can stand at a place, by id."""
        role = self.parts[place]
        return tuple(sorted((card for card in self.cards if not self.misfit(card, role)), key=lambda card: card.id))


def _fits(card: Card, ground: Ground) -> bool:
    """Along either side of the ground."""
    short, long = sorted((card.wide_m, card.long_m))
    return short <= min(ground.wide_m, ground.long_m) and long <= max(ground.wide_m, ground.long_m)


@dataclass(frozen=True)
class Answer:
    """cards: an id for each of the problem's parts. minutes: of the parts all do at once, in their order; the rotation
    has what they leave.
    """

    cards: tuple[str, ...]
    minutes: tuple[int, ...]


def work_s(problem: Problem, answer: Answer) -> int:
    """Seconds of all turns of a rotation together; below 0 where the other parts take more than there is."""
    return problem.free_s - 60 * sum(answer.minutes)
