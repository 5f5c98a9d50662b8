"""Places as a constraint model: where each room begins and how it is turned, no two rooms nearer than a path."""

from __future__ import annotations

from itertools import combinations, product
from typing import Any

from clubapp.engine import cpsat
from clubapp.engine.cpsat import Run
from clubapp.engine.layout_ground import obstacles
from clubapp.engine.layout_problem import EAST, NORTH, STEP, Answer, Place, Problem, Station
from clubapp.engine.layout_rules import QUIET_WEIGHT, cost, floor, listening, nearest
from clubapp.engine.limits import Limit


class _Room:
    """One station. corner: where its room begins; turned[t]: whether it is turned so; spans: see `_span`."""

    def __init__(self, model: Any, problem: Problem, station: Station) -> None:
        self.station, extent, aisle = station, problem.ground.extent, problem.aisle
        fixed = next((place for place in problem.fixed if place.station == station.id), None)
        self.turned = {turn: model.new_bool_var("") for turn in ((fixed.turn,) if fixed else station.turns)}
        model.add_exactly_one(self.turned.values())
        # A path to the southern and western edge, too.
        self.low, most = (extent.left + aisle, extent.bottom + aisle), (extent.right, extent.top)
        stays = problem.room(fixed) if fixed else None
        self.steps = [model.new_int_var(0, max(0, (most[axis] - self.low[axis]) // STEP), "") for axis in (0, 1)]
        self.corner = [self.low[axis] + STEP * self.steps[axis] for axis in (0, 1)]
        if stays:
            self.steps, self.corner = [], [stays.left, stays.bottom]
        self.spans = [_span(model, self.corner[axis], self._sizes(axis), aisle, most[axis]) for axis in (0, 1)]

    def _sizes(self, axis: int) -> list[tuple[Any, int]]:
        return [(literal, self.station.shape(turn).room[axis]) for turn, literal in self.turned.items()]

    @property
    def middle(self) -> tuple[Any, Any]:
        """Of the footprint, in half decimetres."""
        shapes = [(literal, self.station.shape(turn)) for turn, literal in self.turned.items()]
        across = sum((2 * shape.beyond[3] + shape.wide) * literal for literal, shape in shapes)
        along = sum((2 * shape.beyond[2] + shape.long) * literal for literal, shape in shapes)
        return 2 * self.corner[0] + across, 2 * self.corner[1] + along

    def runs_to(self, side: int) -> list[Any]:
        """The turns in which children run out to that side."""
        return [literal for turn, literal in self.turned.items() if self.station.shape(turn).beyond[side]]

    def values(self, problem: Problem, place: Place) -> list[tuple[Any, int]]:
        """The variables' values where it stands there, to the nearest step."""
        room = problem.room(place)
        same = {self.station.shape(turn): literal for turn, literal in self.turned.items()}
        chosen = same[self.station.shape(place.turn)]
        steps = [(at - low) // STEP for at, low in zip((room.left, room.bottom), self.low, strict=True)]
        turns = [(literal, int(literal is chosen)) for literal in self.turned.values()]
        return [*zip(self.steps, steps, strict=False), *turns]


def _span(model: Any, at: Any, sizes: list[tuple[Any, int]], aisle: int, most: int) -> tuple[Any, Any, Any]:
    """The ground a room takes along one axis with the path beyond it: as an interval, its begin and its end."""
    low, high = (pick(size for _literal, size in sizes) + aisle for pick in (min, max))
    size, end = model.new_int_var(low, high, ""), model.new_int_var(-(10**6), most, "")
    model.add(size == aisle + sum(size * literal for literal, size in sizes))
    return model.new_interval_var(at, size, end, ""), at, end


class Model:
    """All rooms on one ground."""

    def __init__(self, problem: Problem) -> None:
        self.problem, self.model = problem, cpsat.new_model()
        self.rooms = {station.id: _Room(self.model, problem, station) for station in problem.stations}
        self._keep_apart()
        for one, two in combinations(self.rooms.values(), 2):
            self._never_face(one, two)
            self._never_face(two, one)

    def _keep_apart(self) -> None:
        """The solver's own no-overlap for all that lies there, and beside it each pair of rooms as a choice of four:
        with both, the same work leads to shorter ways than with either.
        """
        aisle = self.problem.aisle
        across, along = ([room.spans[axis][0] for room in self.rooms.values()] for axis in (0, 1))
        for _kind, box in obstacles(self.problem.ground):
            size = box.right - box.left + aisle, box.top - box.bottom + aisle
            across.append(self.model.new_fixed_size_interval_var(box.left, size[0], ""))
            along.append(self.model.new_fixed_size_interval_var(box.bottom, size[1], ""))
        self.model.add_no_overlap_2d(across, along)
        for one, two in combinations(self.rooms.values(), 2):
            ways = [self._before(a, b, axis) for axis in (0, 1) for a, b in ((one, two), (two, one))]
            self.model.add_bool_or(ways)

    def _before(self, one: _Room, two: _Room, axis: int, further: int = 0) -> Any:
        """Whether one ends, its path included, before two begins, and `further` away."""
        way = self.model.new_bool_var("")
        self.model.add(one.spans[axis][2] + further <= two.spans[axis][1]).only_enforce_if(way)
        return way

    def _never_face(self, one: _Room, two: _Room) -> None:
        """Where one runs out to a side and two back from there: beside one another, back to back, or far apart."""
        aisle, far = self.problem.aisle, self.problem.facing - self.problem.aisle
        for side, axis in ((NORTH, 1), (EAST, 0)):
            towards, back = one.runs_to(side), two.runs_to((side + 2) % 4)
            if towards and back:
                beside = [self._before(a, b, 1 - axis, -aisle) for a, b in ((one, two), (two, one))]
                ways = [*beside, self._before(two, one, axis), self._before(one, two, axis, far)]
                for literal, other in product(towards, back):
                    self.model.add_bool_or([literal.negated(), other.negated(), *ways])

    def minimise(self) -> None:
        """What `layout_rules.cost` counts."""
        problem, points = self.problem, (self.problem.ground.water, self.problem.ground.first_aid)
        terms = []
        for one, two in problem.following:
            walk = self._apart(self.rooms[one].middle, self.rooms[two].middle)
            self.model.add(walk >= nearest(problem, one, two))
            terms.append(walk)
        terms += [self._farthest((2 * at[0], 2 * at[1])) for at in points if at]
        terms += [QUIET_WEIGHT * self._missing(one, two) for one, two in listening(problem)]
        total = sum(terms)
        self.model.add(total >= floor(problem))
        self.model.minimize(total)

    def _apart(self, one: tuple[Any, Any], two: tuple[Any, Any]) -> Any:
        """The way between two middles, exactly: it may not be made longer than it is."""
        parts = []
        for a, b in zip(one, two, strict=True):
            part = self.model.new_int_var(0, 10**6, "")
            self.model.add_abs_equality(part, a - b)
            parts.append(part)
        return sum(parts)

    def _farthest(self, at: tuple[int, int]) -> Any:
        far = self.model.new_int_var(0, 10**6, "")
        for room in self.rooms.values():
            self.model.add(far >= self._apart(room.middle, at))
        return far

    def _missing(self, one: str, two: str) -> Any:
        missing = self.model.new_int_var(0, 2 * self.problem.hush, "")
        self.model.add(missing >= 2 * self.problem.hush - self._apart(self.rooms[one].middle, self.rooms[two].middle))
        return missing

    def run(self, limit: Limit, seed: int, start: Answer | None = None) -> Run:
        if start is not None:
            of = start.of
            pairs = [pair for name, room in self.rooms.items() for pair in room.values(self.problem, of[name])]
            cpsat.hint(self.model, pairs)
        return cpsat.run(self.model, limit, seed)

    def answer(self, run: Run) -> Answer:
        return Answer(tuple(self._place(run, room) for room in self.rooms.values()))

    def _place(self, run: Run, room: _Room) -> Place:
        turn = next(turn for turn, literal in room.turned.items() if run.true(literal))
        _north, _east, south, west = room.station.shape(turn).beyond
        at = [run.value(corner) for corner in room.corner]
        return Place(room.station.id, at[0] + west, at[1] + south, turn)


def improve(problem: Problem, limit: Limit, seed: int, start: Answer | None) -> tuple[Answer | None, int, bool]:
    """Better places than `start`, a bound in half decimetres, and whether it was proven that there are none at all."""
    made = Model(problem)
    made.minimise()
    run = made.run(limit, seed, start)
    found = made.answer(run) if run.found else None
    kept = [answer for answer in (found, start) if answer is not None]
    best = min(kept, key=lambda answer: cost(problem, answer)) if kept else None
    bound = max(floor(problem), round(run.bound) if run.found else 0)
    return best, bound, run.proof is cpsat.Proof.NONE


def any_places(problem: Problem, limit: Limit, seed: int) -> Answer | None:
    """The first that are found; nothing is made short."""
    made = Model(problem)
    run = made.run(limit, seed)
    return made.answer(run) if run.found else None
