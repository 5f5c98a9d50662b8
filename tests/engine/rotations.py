"""Small rotations for the tests: drawn ones, and every answer there is to them."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import product

from hypothesis import strategies as st

from clubapp.engine.rotation import Answer, Problem, score, violations
from clubapp.engine.rotation_problem import Turn
from clubapp.engine.words import Station

PLACES = ((0.0, 0.0), (9.0, 0.0), (4.0, 7.5), (12.0, 11.0), (None, None))


def stations(count: int, **same: object) -> tuple[Station, ...]:
    """Stations A, B, … in a row, ten metres apart."""
    return tuple(Station(chr(65 + at), 10.0 * at, 0.0, **same) for at in range(count))  # type: ignore[arg-type]


def field(count: int, seed: int) -> tuple[Station, ...]:
    """Stations anywhere on a field, half of them hard."""
    lot = random.Random(seed)
    hard = set(lot.sample(range(count), count // 2))
    return tuple(
        Station(f"S{at}", round(lot.uniform(0, 60), 1), round(lot.uniform(0, 40), 1), hard=at in hard)
        for at in range(count)
    )


def groups(count: int) -> tuple[str, ...]:
    return tuple(f"G{at}" for at in range(1, count + 1))


@st.composite
def drawn_stations(draw: st.DrawFn) -> tuple[Station, ...]:
    made = []
    for at in range(draw(st.integers(1, 3))):
        x_m, y_m = draw(st.sampled_from(PLACES))
        least = draw(st.sampled_from((0, 0, 1, 2)))
        most = draw(st.integers(max(1, least), 3))
        kit = draw(st.sampled_from(({}, {"cones": 4}, {"cones": 6, "balls": 2})))
        hard = draw(st.booleans())
        made.append(Station(chr(65 + at), x_m, y_m, hard=hard, groups_min=least, groups_max=most, kit=kit))
    return tuple(made)


@st.composite
def pasts(draw: st.DrawFn, names: tuple[str, ...], places: tuple[Station, ...], over: int) -> tuple[Turn, ...]:
    """Rounds that are over, in which nobody was anywhere twice."""
    ids = [place.id for place in places]
    paths = []
    for _ in names:
        order = draw(st.permutations([*ids, *[None] * over]))
        paths.append(order[:over])
    return tuple(tuple(zip(names, turn, strict=True)) for turn in zip(*paths, strict=True))


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    """Every rule there is, in problems small enough to try every answer."""
    places = draw(drawn_stations())
    rounds = draw(st.integers(1, 3))
    count = draw(st.integers(1, 2 if rounds == 3 else 3))
    fixed = draw(st.just(()) | st.integers(0, rounds).flatmap(lambda over: pasts(groups(count), places, over)))
    turns = st.tuples(st.sampled_from([place.id for place in places]), st.integers(1, rounds))
    return Problem(
        groups(count),
        places,
        rounds,
        max_hard_run=draw(st.none() | st.integers(0, 2)),
        kit_owned=draw(st.sampled_from(({}, {"cones": 8}, {"cones": 10, "balls": 3}))),
        staffed=draw(st.none() | st.integers(1, 3)),
        closed=draw(st.frozensets(turns, max_size=2)),
        balanced_succession=draw(st.booleans()),
        meet_once=draw(st.booleans()),
        least_walking=draw(st.booleans()),
        may_rest=draw(st.sampled_from((False, False, True))),
        fixed=fixed,
    )


def answers(problem: Problem) -> Iterator[Answer]:
    """Every way in which groups can be at stations or rest, each station once; rules are not looked at."""
    choices = [None, *(station.id for station in problem.stations)]
    ahead = len(problem.future)
    paths = []
    for group in problem.groups:
        past = problem.past(group)
        ways = product(choices, repeat=ahead)
        new = [way for way in ways if all(way.count(at) < 2 and at not in past for at in {*way} - {None})]
        paths.append([(*past, *way) for way in new])
    for chosen in product(*paths):
        yield Answer(tuple(tuple(zip(problem.groups, turn, strict=True)) for turn in zip(*chosen, strict=True)))


def least(problem: Problem) -> float | None:
    """The best score of all answers that keep the rules; None where there is none."""
    kept = [score(problem, answer) for answer in answers(problem) if not violations(problem, answer)]
    return min(kept, default=None)


GAME = {"groups_min": 2, "groups_max": 2}
# Every kind of rule and of cost at least once, each small enough to try every answer.
CASES = {
    "walking and hard stations": Problem(groups(2), field(3, 2), 3, max_hard_run=1),
    "games for two": Problem(groups(4), stations(2, **GAME), 2),
    "who met and walked before": Problem(
        groups(2), stations(3, groups_max=2), 3, max_hard_run=1, balanced_succession=True,
        fixed=((("G1", "A"), ("G2", "A")), (("G1", "B"), ("G2", "C"))),
    ),
    "hard stations before": Problem(
        groups(2), stations(3, hard=True), 2, max_hard_run=2, fixed=((("G1", "A"), ("G2", None)),)
    ),
    "kit and adults": Problem(groups(2), stations(3, kit={"cones": 4}), 2, kit_owned={"cones": 8}, staffed=2),
    "rests in turn": Problem(groups(3), stations(2), 2, balanced_succession=True, least_walking=False),
    "rests in turn, walking": Problem(groups(3), stations(2), 2),
    "a closed station": Problem(groups(2), stations(3), 2, closed=frozenset({("A", 1)})),
    "rests as they like": Problem(groups(2), stations(2), 2, may_rest=True, meet_once=False),
    "nothing to judge": Problem(groups(2), stations(2), 1, least_walking=False),
}  # fmt: skip
