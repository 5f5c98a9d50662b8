"""A ground, the set-ups that are to stand on it, and where they stand. Lengths are whole decimetres.

x grows to the east and y to the north. A set-up is a footprint and what has to be free beyond its sides (the run-out);
both together are its room, always a rectangle along the ground's axes. It is turned in quarters, clockwise.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

Point = tuple[int, int]
TURNS = (0, 1, 2, 3)
NORTH, EAST, SOUTH, WEST = TURNS

# A path between rooms, and from a room to whatever is closed: also the metre free of obstacles beside a track (World
# Athletics facilities manual, from memory).
AISLE = 10
# Two run-outs that point at each other need this between their ends: common practice, no published source.
FACING = 100
# So far apart a call at one station is still heard beside a loud one: common practice, no published source.
HUSH = 250
STEP = 5  # places are sought on a grid: nobody paces out less than half a metre


@dataclass(frozen=True)
class Box:
    """A rectangle along the axes."""

    left: int
    bottom: int
    right: int
    top: int

    def meets(self, other: Box, apart: int = 0) -> bool:
        """Whether they share ground, or stand closer than `apart` both across and along."""
        across = self.left - apart < other.right and other.left - apart < self.right
        return across and self.bottom - apart < other.top and other.bottom - apart < self.top

    def grown(self, by: int) -> Box:
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)


@dataclass(frozen=True)
class Shape:
    """A set-up as it is turned: across, along, and free beyond its north, east, south and west side."""

    wide: int
    long: int
    beyond: tuple[int, int, int, int]

    @property
    def room(self) -> tuple[int, int]:
        north, east, south, west = self.beyond
        return self.wide + east + west, self.long + north + south


@dataclass(frozen=True)
class Station:
    """beyond: above, right, below and left of its drawing. loud: it drowns a call; hears: children listen for one.

    Raises ValueError for a length below nothing.
    """

    id: str
    wide: int
    long: int
    beyond: tuple[int, int, int, int] = (0, 0, 0, 0)
    loud: bool = False
    hears: bool = False

    def __post_init__(self) -> None:
        if min(self.wide, self.long) < 1 or min(self.beyond) < 0:
            raise ValueError("a station needs ground")

    def shape(self, turn: int) -> Shape:
        sides = self.beyond
        north, east, south, west = (sides[(side - turn) % 4] for side in TURNS)
        wide, long = (self.long, self.wide) if turn % 2 else (self.wide, self.long)
        return Shape(wide, long, (north, east, south, west))

    @property
    def turns(self) -> tuple[int, ...]:
        """Ways to turn it that make a difference to its room."""
        return tuple(sorted({self.shape(turn): turn for turn in reversed(TURNS)}.values()))


@dataclass(frozen=True)
class Ground:
    """outline: corners in order, either way round. closed: what nothing may stand on, hazards and no-go strips.

    Raises ValueError for fewer than three corners, or no ground between them.
    """

    outline: tuple[Point, ...]
    closed: tuple[Box, ...] = ()
    water: Point | None = None
    first_aid: Point | None = None

    def __post_init__(self) -> None:
        if len(self.outline) < 3 or not self.area:
            raise ValueError("an outline needs three corners and ground between them")

    @property
    def edges(self) -> tuple[tuple[Point, Point], ...]:
        return tuple(pairwise((*self.outline, self.outline[0])))

    @property
    def area(self) -> int:
        """Twice the area."""
        return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in self.edges))

    @property
    def extent(self) -> Box:
        xs, ys = zip(*self.outline, strict=True)
        return Box(min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True)
class Place:
    """x, y: the south-west corner of the footprint as it is turned."""

    station: str
    x: int
    y: int
    turn: int = NORTH


@dataclass(frozen=True)
class Problem:
    """stations: in the order in which groups follow them, round and round. fixed: places that are to stay.

    Raises ValueError for a station twice, or a fixed one that is unknown or stands twice.
    """

    ground: Ground
    stations: tuple[Station, ...]
    fixed: tuple[Place, ...] = ()
    aisle: int = AISLE
    facing: int = FACING
    hush: int = HUSH
    names: dict[str, str] = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        stay = [place.station for place in self.fixed]
        if len(self.of) < len(self.stations) or len(set(stay)) < len(stay) or not set(stay) <= set(self.of):
            raise ValueError("a station stands twice, or one that stays is unknown")

    @property
    def of(self) -> dict[str, Station]:
        return {station.id: station for station in self.stations}

    @property
    def following(self) -> tuple[tuple[str, str], ...]:
        """Stations of which one follows the other."""
        ids = [station.id for station in self.stations]
        return tuple(pairwise([*ids, ids[0]] if len(ids) > 2 else ids))

    def name(self, station: str) -> str:
        return self.names.get(station, station)

    def footprint(self, place: Place) -> Box:
        shape = self.of[place.station].shape(place.turn)
        return Box(place.x, place.y, place.x + shape.wide, place.y + shape.long)

    def room(self, place: Place) -> Box:
        """The footprint and its run-outs."""
        north, east, south, west = self.of[place.station].shape(place.turn).beyond
        foot = self.footprint(place)
        return Box(foot.left - west, foot.bottom - south, foot.right + east, foot.top + north)

    def middle(self, place: Place) -> Point:
        """Of the footprint, in half decimetres."""
        foot = self.footprint(place)
        return foot.left + foot.right, foot.bottom + foot.top


@dataclass(frozen=True)
class Answer:
    """Every station's place, in the problem's order."""

    places: tuple[Place, ...]

    @property
    def of(self) -> dict[str, Place]:
        return {place.station: place for place in self.places}
