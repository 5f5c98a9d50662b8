"""The plain way: set-ups side by side on shelves, as a coach paces them out, all turned the same way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from clubapp.engine.layout_problem import STEP, TURNS, Answer, Place, Problem, Station
from clubapp.engine.layout_rules import crowded, facing, grounded

UP = 2 * STEP  # how much farther up a shelf begins on which nothing could stand


def shelves(problem: Problem) -> Answer | None:
    """The first places that keep every rule: stations in their order, then the longest first; each of four turns."""
    longest = sorted(problem.stations, key=lambda one: (-max(one.shape(0).room), one.id))
    for order in (problem.stations, tuple(longest)):
        for turn in TURNS:
            placed = _Shelves(problem, turn).stand(order)
            if placed is not None:
                by_id = {place.station: place for place in placed}
                return Answer(tuple(by_id[station.id] for station in problem.stations))
    return None


class _Shelves:
    """Shelves from south to north; on every second one the stations stand from east to west, so that ways are short."""

    def __init__(self, problem: Problem, turn: int) -> None:
        self.problem, self.turn = problem, turn
        self.extent, self.placed = problem.ground.extent, list(problem.fixed)

    def stand(self, stations: Sequence[Station]) -> list[Place] | None:
        if any(grounded(self.problem, place) for place in self.placed):
            return None
        stay = {place.station for place in self.placed}
        waiting = [station for station in stations if station.id not in stay]
        bottom, to_east = self.extent.bottom, True
        while waiting and bottom < self.extent.top:
            row = self._fill(waiting, bottom, to_east)
            del waiting[: len(row)]
            self.placed += row
            tops = [self.problem.room(place).top + self.problem.aisle for place in row]
            bottom, to_east = max(tops, default=bottom + UP), to_east != bool(row)
        return None if waiting else self.placed

    def _fill(self, waiting: Sequence[Station], bottom: int, to_east: bool) -> list[Place]:
        """As many stations as go on one shelf, in their order."""
        row: list[Place] = []
        spots = iter(self._spots(to_east))
        for station in waiting:
            place = next((place for x in spots if (place := self._at(station, (x, bottom), to_east, row))), None)
            if place is None:
                break
            row.append(place)
        return row

    def _spots(self, to_east: bool) -> Iterator[int]:
        xs = range(self.extent.left, self.extent.right + 1, STEP)
        return iter(xs if to_east else reversed(xs))

    def _at(self, station: Station, at: tuple[int, int], to_east: bool, row: Sequence[Place]) -> Place | None:
        """The station with its room beginning at x, or ending there; None where that keeps not every rule."""
        (x, bottom), shape = at, station.shape(self.turn)
        _north, _east, south, west = shape.beyond
        left = x if to_east else self.extent.left + (x - shape.room[0] - self.extent.left) // STEP * STEP
        bottom = bottom + (self.problem.aisle if bottom == self.extent.bottom else 0)
        place = Place(station.id, left + west, bottom + south, self.turn)
        others = (*self.placed, *row)
        wrong = grounded(self.problem, place) or any(self._clash(place, other) for other in others)
        return None if wrong else place

    def _clash(self, one: Place, two: Place) -> bool:
        return crowded(self.problem, one, two) or facing(self.problem, one, two)
