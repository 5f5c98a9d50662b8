"""Changing a drawing tap by tap: each change is a step that can be taken back. Works on the plain data of `reading`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from clubapp.core.diagram.shapes import Gait, What, Who

Spot = tuple[float, float]
Data = dict[str, Any]
# The list, the place in it, what stood there and what stands there now; None: nothing.
Step = tuple[str, int, Any, Any]

PICK = "pick"
WAYS = (Gait.RUN, Gait.SHUFFLE, Gait.BACK, Gait.JUMP, Gait.WALK, Gait.DRIBBLE, Gait.FLIGHT)
SINGLE: Mapping[str, tuple[str, Data]] = {
    "cone": ("cones", {}),
    **{str(who): ("people", {"who": str(who)}) for who in Who},
    **{str(what): ("kit", {"what": str(what)}) for what in What},
}
DOUBLE = {"line": "lines", "area": "areas", "length": "lengths"}
TOOLS = (PICK, *SINGLE, *DOUBLE, *map(str, WAYS))
LISTS = ("cones", "lines", "areas", "paths", "people", "kit", "lengths")
MOST_STEPS = 60
FRAME = "frame"  # the step that changes size and run-outs


@dataclass(frozen=True)
class Board:
    """A drawing at work. begun: first points of what needs two; chosen: "cones-2" is the third cone."""

    drawing: Data
    steps: tuple[Step, ...] = ()
    begun: tuple[Spot, ...] = ()
    chosen: str = ""

    @property
    def picked(self) -> tuple[str, int, Data] | None:
        """What is chosen, if it is there."""
        name, _dash, place = self.chosen.rpartition("-")
        rows = self.drawing.get(name, []) if name in LISTS else []
        return (name, int(place), rows[int(place)]) if place.isdecimal() and int(place) < len(rows) else None


@dataclass(frozen=True)
class Tap:
    tool: str
    at: Spot
    name: str = ""


def tap(board: Board, done: Tap) -> Board:
    """What a tap on the ground does with this tool."""
    label = {"name": done.name} if done.name else {}
    if done.tool == PICK:
        return _moved(board, done.at)
    if done.tool in SINGLE:
        name, values = SINGLE[done.tool]
        return _put(board, name, {**values, "at": list(done.at)} | (label if done.tool == "cone" else {}))
    if done.tool in DOUBLE:
        return _double(board, DOUBLE[done.tool], done.at, label)
    return _way(board, done.tool, done.at)


def _put(board: Board, name: str, row: Data) -> Board:
    rows = board.drawing.get(name, [])
    return _step(board, (name, len(rows), None, row), f"{name}-{len(rows)}")


def _double(board: Board, name: str, at: Spot, label: Data) -> Board:
    """The first tap begins it, the second ends it."""
    if not board.begun:
        return replace(board, begun=(at,), chosen="")
    start = board.begun[0]
    if name == "areas":
        low, high = (
            [min(pair) for pair in zip(start, at, strict=True)],
            [abs(a - b) for a, b in zip(start, at, strict=True)],
        )
        return _put(board, name, {"corner": low, "size": [round(value, 2) for value in high]} | label)
    return _put(board, name, {"from": list(start), "to": list(at)} | (label if name == "lines" else {}))


def _way(board: Board, gait: str, at: Spot) -> Board:
    """Two taps make a way; while it is chosen, each further one makes it longer."""
    picked = board.picked
    if not board.begun and picked and picked[0] == "paths" and picked[2].get("how") == gait:
        name, place, row = picked
        return _step(board, (name, place, row, row | {"points": [*row["points"], list(at)]}), board.chosen)
    if not board.begun:
        return replace(board, begun=(at,), chosen="")
    return _put(board, "paths", {"how": gait, "points": [list(board.begun[0]), list(at)]})


def _moved(board: Board, at: Spot) -> Board:
    """The chosen thing with its first point there and the others after it."""
    if board.picked is None:
        return board
    name, place, row = board.picked
    first = next(points_of(row))
    by = at[0] - first[0], at[1] - first[1]
    shifted = {
        key: _shifted(value, by) if key in ("at", "from", "to", "corner", "points") else value
        for key, value in row.items()
    }
    return _step(board, (name, place, row, shifted), board.chosen)


def _shifted(value: list[Any], by: Spot) -> list[Any]:
    if isinstance(value[0], list):
        return [_shifted(one, by) for one in value]
    return [round(float(value[0]) + by[0], 2), round(float(value[1]) + by[1], 2)]


def points_of(row: Data) -> Iterator[Spot]:
    for key in ("at", "from", "corner"):
        if key in row:
            yield row[key][0], row[key][1]
    yield from ((x, y) for x, y in row.get("points", []))
    if "to" in row:
        yield row["to"][0], row["to"][1]


def picked_points(board: Board) -> list[Spot]:
    """Where the chosen thing is, or what is begun."""
    return [*board.begun, *(points_of(board.picked[2]) if board.picked else ())]


def remove(board: Board) -> Board:
    """Take the chosen thing away, or what was begun."""
    if board.begun or board.picked is None:
        return replace(board, begun=())
    name, place, row = board.picked
    return _step(board, (name, place, row, None), "")


def reframe(board: Board, size: list[float], run_out: Data) -> Board:
    """Another footprint, other run-outs."""
    was = {key: board.drawing[key] for key in ("size", "run_out") if key in board.drawing}
    return _step(board, (FRAME, 0, was, {"size": size} | ({"run_out": run_out} if run_out else {})), board.chosen)


def undo(board: Board) -> Board:
    """The last step taken back; what was only begun goes first."""
    if board.begun or not board.steps:
        return replace(board, begun=())
    name, place, was, now = board.steps[-1]
    return Board(_with(board.drawing, (name, place, now, was)), board.steps[:-1])


def _step(board: Board, step: Step, chosen: str) -> Board:
    return Board(_with(board.drawing, step), (*board.steps, step)[-MOST_STEPS:], (), chosen)


def _with(drawing: Data, step: Step) -> Data:
    name, place, was, now = step
    if name == FRAME:
        framed: Data = {key: value for key, value in drawing.items() if key not in ("size", "run_out")}
        return framed | dict(now)
    rows = list(drawing.get(name, []))
    rows[place : place + (was is not None)] = [] if now is None else [now]
    return {key: value for key, value in drawing.items() if key != name} | ({name: rows} if rows else {})
