"""What is wrong with places, and how far people walk between them: plain arithmetic, apart from the solver."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from clubapp.engine.layout_ground import Closed, holds, obstacles
from clubapp.engine.layout_problem import EAST, NORTH, SOUTH, WEST, Answer, Place, Point, Problem
from clubapp.engine.outcome import Reason

QUIET_WEIGHT = 2  # a metre too near to a loud station weighs as much as two metres of walking
UNIT = 20  # half decimetres in a metre

WORDS = {
    Closed.OUTSIDE: "{one} does not lie inside the field.",
    Closed.HAZARD: "{one} is on a hazard or a closed strip, or too near to it.",
    Closed.POINT: "{one} stands where the water or the first-aid point is.",
    Closed.CUT_OFF: "From {one} nobody gets to water and first aid.",
}


def grounded(problem: Problem, place: Place) -> Closed | None:
    """What of the ground is in the way of a station's room."""
    room = problem.room(place)
    if not holds(problem.ground, room.grown(problem.aisle)):
        return Closed.OUTSIDE
    near = (kind for kind, box in obstacles(problem.ground) if room.meets(box, problem.aisle))
    return next((kind for kind in near if kind is not Closed.OUTSIDE), None)


def crowded(problem: Problem, one: Place, two: Place) -> bool:
    """Whether two rooms share ground or leave no path between them."""
    return problem.room(one).meets(problem.room(two), problem.aisle)


def facing(problem: Problem, one: Place, two: Place) -> bool:
    """Whether children run out towards each other, in one lane and with too little between them."""
    return any(_runs_at(problem, a, b, side) for a, b in ((one, two), (two, one)) for side in (NORTH, EAST))


def _runs_at(problem: Problem, one: Place, two: Place, side: int) -> bool:
    """Whether `one` runs out to that side, and `two` back from there."""
    beyond, back = (problem.of[place.station].shape(place.turn).beyond for place in (one, two))
    here, there = problem.room(one), problem.room(two)
    if not (beyond[side] and back[(side + 2) % 4]):
        return False
    if side == NORTH:
        in_lane, between = here.left < there.right and there.left < here.right, there.bottom - here.top
    else:
        in_lane, between = here.bottom < there.top and there.bottom < here.top, there.left - here.right
    return in_lane and 0 <= between < problem.facing


def troubles(problem: Problem, answer: Answer) -> Iterator[Reason]:
    """Everything that is wrong, each with the stations it is about."""
    here = [place for place in answer.places if place.station in problem.of]
    if sorted(place.station for place in answer.places) != sorted(problem.of) or len(here) < len(answer.places):
        yield Reason("stations", "Not every station stands in one place.")
        return
    for place in here:
        kind = grounded(problem, place)
        if kind is not None:
            yield Reason(str(kind), WORDS[kind].format(one=problem.name(place.station)), (place.station,))
    for one, two in combinations(here, 2):
        yield from _between(problem, one, two)
    for place in problem.fixed:
        if answer.of[place.station] != place:
            yield Reason("stays", f"{problem.name(place.station)} was to stay where it was.", (place.station,))


def _between(problem: Problem, one: Place, two: Place) -> Iterator[Reason]:
    about = (one.station, two.station)
    names = " and ".join(problem.name(station) for station in about)
    if crowded(problem, one, two):
        yield Reason("crowded", f"{names} overlap, or leave no path between them.", about)
    elif facing(problem, one, two):
        yield Reason("facing", f"Children at {names} run out towards each other.", about)


def violations(problem: Problem, answer: Answer) -> list[str]:
    return [reason.text for reason in troubles(problem, answer)]


def apart(one: Point, two: Point) -> int:
    """Across and along: nobody walks through a station."""
    return abs(one[0] - two[0]) + abs(one[1] - two[1])


def listening(problem: Problem) -> Iterator[tuple[str, str]]:
    """Each loud station with each where children listen for a call."""
    for one, two in combinations(problem.stations, 2):
        if (one.loud and two.hears) or (two.loud and one.hears):
            yield one.id, two.id


def drowned(problem: Problem, answer: Answer) -> list[tuple[str, str, int]]:
    """Loud stations too near to listening ones, with the half decimetres that are missing."""
    of = answer.of
    missing = [
        (one, two, 2 * problem.hush - apart(problem.middle(of[one]), problem.middle(of[two])))
        for one, two in listening(problem)
    ]
    return [row for row in missing if row[2] > 0]


def cost(problem: Problem, answer: Answer) -> int:
    """In half decimetres: the way round all stations, the farthest way to water and to first aid, and calls drowned."""
    middles = {place.station: problem.middle(place) for place in answer.places}
    around = round(UNIT * walk(problem, answer))
    points = [at for at in (problem.ground.water, problem.ground.first_aid) if at]
    far = sum(max((apart(m, (2 * x, 2 * y)) for m in middles.values()), default=0) for x, y in points)
    return around + far + QUIET_WEIGHT * sum(missing for _one, _two, missing in drowned(problem, answer))


def walk(problem: Problem, answer: Answer) -> float:
    """Metres round all stations, across and along."""
    middles = {place.station: problem.middle(place) for place in answer.places}
    return sum(apart(middles[one], middles[two]) for one, two in problem.following) / UNIT


def score(problem: Problem, answer: Answer) -> float:
    """Metres, see `cost`."""
    return cost(problem, answer) / UNIT


def nearest(problem: Problem, one: str, two: str) -> int:
    """No two middles of these stations are nearer, in half decimetres: their rooms leave a path between them."""
    found = []
    for turn in problem.of[one].turns:
        for other in problem.of[two].turns:
            a, b = problem.of[one].shape(turn), problem.of[two].shape(other)
            path = 2 * problem.aisle
            found += [
                a.wide + b.wide + path + 2 * min(a.beyond[EAST] + b.beyond[WEST], a.beyond[WEST] + b.beyond[EAST]),
                a.long + b.long + path + 2 * min(a.beyond[NORTH] + b.beyond[SOUTH], a.beyond[SOUTH] + b.beyond[NORTH]),
            ]
    return min(found)


def floor(problem: Problem) -> int:
    """No places cost less, in half decimetres."""
    walk = sum(nearest(problem, one, two) for one, two in problem.following)
    points = sum(at is not None for at in (problem.ground.water, problem.ground.first_aid))
    halves = [min(station.wide, station.long) for station in problem.stations]
    return walk + points * (max(halves) + 2 * problem.aisle if halves else 0)
