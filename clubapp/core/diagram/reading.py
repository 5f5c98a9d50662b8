"""A drawing as it stands in a file or a table, in metres.

    {"size": [9, 23], "run_out": {"top": 18},
     "cones": [{"at": [1.5, 2], "name": "A"}],
     "lines": [{"from": [0, 2], "to": [3, 2], "name": "start"}],
     "areas": [{"corner": [0, 0], "size": [3, 3], "name": "bank"}],
     "paths": [{"how": "run", "points": [[1.5, 2], [1.5, 22]]}],
     "people": [{"who": "waiting", "at": [1.5, 1]}],
     "kit": [{"what": "ball", "at": [4, 2]}],
     "lengths": [{"from": [3, 2], "to": [3, 22]}]}

size: the footprint, across and up the drawing; its lower left corner is [0, 0] and everything stands in it. run_out:
metres that must be free beyond an edge. All but size may be left out. The words are those of `shapes`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any, TypeVar

from django.utils.translation import gettext as _

from clubapp.core.diagram.shapes import (
    Area,
    Cone,
    Gait,
    Item,
    Layout,
    Line,
    Measure,
    Path,
    Person,
    Point,
    Room,
    Side,
    What,
    Who,
    far_corner,
)
from clubapp.core.reading import Reader

LARGEST, LEAST = 120, 1  # metres of a footprint
FARTHEST = 40  # of a run-out
MOST, MOST_POINTS = 60, 24
NAME = 20

Part = TypeVar("Part")


def read(fields: Reader) -> Layout:
    """The drawing; what is wrong is noted in `fields`, everything outside its footprint too."""
    room = _room(fields)

    def parts(name: str, make: Callable[[Reader], Part]) -> tuple[Part, ...]:
        return tuple(_within(room, one, make(one)) for one in fields.each(name, MOST))

    layout = Layout(
        "m",
        measures=parts("lengths", lambda one: Measure(_at(one, "from"), _at(one, "to"))),
        cones=parts("cones", lambda one: Cone(_at(one, "at"), one.text("name", NAME))),
        lines=parts("lines", lambda one: Line(_at(one, "from"), _at(one, "to"), one.text("name", NAME))),
        paths=parts("paths", _path),
        people=parts("people", lambda one: Person(_at(one, "at"), one.choice("who", Who, Who.CHILD))),
        items=parts("kit", lambda one: Item(_at(one, "at"), one.choice("what", What))),
        areas=parts("areas", lambda one: Area(_at(one, "corner"), _at(one, "size"), one.text("name", NAME))),
        room=room,
    )
    fields.close()
    return layout


def _room(fields: Reader) -> Room:
    wide, long = fields.point("size", LEAST, LARGEST)
    free = fields.inner("run_out") if fields.has("run_out") else Reader({})
    beyond = {side: free.number(side, 0, FARTHEST, Decimal(0)) for side in Side}
    free.close()
    return Room(wide, long, {side: metres for side, metres in beyond.items() if metres})


def _at(one: Reader, name: str) -> Point:
    return one.point(name, 0, LARGEST)


def _path(one: Reader) -> Path:
    points = one.points("points", (2, MOST_POINTS), 0, LARGEST)
    return Path(points, one.choice("how", Gait, Gait.RUN))


def _within(room: Room, one: Reader, part: Part) -> Part:
    if not all(room.holds(point) for point in points_of(part)):
        size = {"wide": f"{room.wide:f}", "long": f"{room.long:f}"}
        one.wrong("", _("This lies outside the footprint of %(wide)s by %(long)s m.") % size)
    return part


def points_of(part: object) -> Iterator[Point]:
    match part:
        case Cone() | Person() | Item():
            yield part.at
        case Line() | Measure():
            yield from (part.start, part.end)
        case Path():
            yield from part.points
        case Area():
            yield from (part.corner, far_corner(part))


def layout_of(data: dict[str, Any]) -> Layout:
    """A drawing that was checked when it was kept.

    Raises:
        FileError: it is none after all.
    """
    fields = Reader(data)
    layout = read(fields)
    fields.done()
    return layout
