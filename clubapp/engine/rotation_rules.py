"""What a rotation costs and which rules it breaks, from plain data and apart from any solver."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise

from clubapp.engine.rotation_problem import Answer, Problem
from clubapp.engine.rotation_room import Room, room_of


@dataclass(frozen=True)
class Costs:
    """rests: turns in which a group rests. most_rests: of one group. meetings_again: how often two groups share a
    station after they did before. successions_again: how often a station follows another that it followed before.
    walking_mm: total over groups, in whole millimetres. Kinds that do not count in a problem are 0.
    """

    rests: int = 0
    most_rests: int = 0
    meetings_again: int = 0
    successions_again: int = 0
    walking_mm: int = 0


@dataclass(frozen=True)
class Weights:
    """What one of each kind of Costs counts, in millimetres of walking: each kind outweighs all that come after it."""

    rests: int
    most_rests: int
    meetings_again: int
    successions_again: int
    walking_mm: int


def weights(problem: Problem, room: Room) -> Weights:
    """Weights no larger than they need be: a kind that cannot occur takes no room among the figures."""
    groups, rounds = len(problem.groups), problem.rounds
    shared = problem.meet_once and any(station.groups_max > 1 for station in problem.stations)
    farthest = max(problem.walks.values()) if problem.least_walking else 0
    succession = 1 + farthest * groups * (rounds - 1)
    meeting = succession * (1 + groups * (rounds - 1) * problem.balanced_succession)
    most = meeting * (1 + groups * (groups - 1) // 2 * rounds * shared)
    return Weights(
        rests=most * (rounds + 1) if room.extra or problem.may_rest else 0,
        most_rests=most if room.rests or problem.may_rest else 0,
        meetings_again=meeting * shared,
        successions_again=succession * problem.balanced_succession,
        walking_mm=int(problem.distance_counts),
    )


def least_costs(problem: Problem, room: Room) -> Costs:
    """Rests nobody can avoid; they are not held against an answer."""
    past = [problem.past(group).count(None) for group in problem.groups]
    even = math.ceil((sum(past) + room.rests) / len(past))
    return Costs(rests=sum(past) + room.rests, most_rests=max(even, *past))


def weighed(problem: Problem, cost: Costs) -> int:
    """One figure in millimetres, above what nobody can avoid."""
    room = room_of(problem)
    weight, least = weights(problem, room), least_costs(problem, room)
    return (
        weight.rests * (cost.rests - least.rests)
        + weight.most_rests * (cost.most_rests - least.most_rests)
        + weight.meetings_again * cost.meetings_again
        + weight.successions_again * cost.successions_again
        + weight.walking_mm * cost.walking_mm
    )


def score(problem: Problem, answer: Answer) -> float:
    """Metres walked, all groups together. Before that count, each more than all walking: a rest that can be avoided,
    rests unevenly spread, a meeting repeated, and where succession is to be balanced one repeated.
    """
    return weighed(problem, costs(problem, answer)) / 1000


def stations_of(path: tuple[str | None, ...]) -> list[str]:
    """The stations of a path; a group that rests stays where it was."""
    return [station for station in path if station is not None]


def walking_mm(problem: Problem, answer: Answer) -> int:
    paths = [stations_of(answer.path(group)) for group in problem.groups]
    return sum(problem.walks[here, there] for path in paths for here, there in pairwise(path))


def walking_m(problem: Problem, answer: Answer) -> float:
    """Straight-line metres between each group's successive stations, all groups together."""
    return walking_mm(problem, answer) / 1000


def costs(problem: Problem, answer: Answer) -> Costs:
    paths = [answer.path(group) for group in problem.groups]
    rests = [path.count(None) for path in paths]
    met = Counter(pair for turn in range(1, len(answer.rounds) + 1) for pair in _meetings(problem, answer, turn))
    follows = Counter(step for path in paths for step in pairwise(stations_of(path)))
    return Costs(
        rests=sum(rests),
        most_rests=max(rests),
        meetings_again=sum(times - 1 for times in met.values()),
        successions_again=sum(times - 1 for times in follows.values()),
        walking_mm=walking_mm(problem, answer),
    )


def floor_mm(problem: Problem) -> int:
    """What no answer is below, without looking far: the walks that are over, or every succession once."""
    if not problem.distance_counts:
        return 0
    stations, groups = len(problem.stations), len(problem.groups)
    if problem.balanced_succession and groups * (problem.rounds - 1) == stations * (stations - 1):
        return sum(problem.walks.values())
    return walking_mm(problem, Answer(problem.fixed))


def longest_hard_run(problem: Problem, answer: Answer) -> int:
    """The most hard stations any group has one after the other."""
    return max(run for group in problem.groups for run in _hard_runs(problem, answer.path(group)))


def _hard_runs(problem: Problem, path: tuple[str | None, ...]) -> Iterator[int]:
    """For each round how many hard stations end with it."""
    run = 0
    for where in path:
        run = run + 1 if where is not None and problem.station[where].hard else 0
        yield run


def _meetings(problem: Problem, answer: Answer, turn: int) -> Iterator[tuple[str, str]]:
    for station in problem.stations:
        yield from combinations(answer.groups_at(station.id, turn), 2)


def violations(problem: Problem, answer: Answer) -> list[str]:
    """What a rotation breaks in the rounds to come, in words; empty when it keeps everything."""
    known = {None, *problem.station}
    if len(answer.rounds) != problem.rounds or answer.rounds[: len(problem.fixed)] != problem.fixed:
        return ["The rotation does not have the rounds that were asked, or changes one that is over."]
    if any([group for group, _ in turn] != [*problem.groups] for turn in answer.rounds):
        return ["A round does not name every group once."]
    if any(where not in known for turn in answer.rounds for _, where in turn):
        return ["A group is at a station that is not there."]
    found = [*_broken(problem, answer)]
    return found if problem.may_rest else [*found, *_idle(problem, answer)]


def _broken(problem: Problem, answer: Answer) -> Iterator[str]:
    for turn in problem.future:
        yield from _places(problem, answer, turn)
        yield from _supplies(problem, answer, turn)
    for group in problem.groups:
        yield from _path(problem, group, answer.path(group))


def _places(problem: Problem, answer: Answer, turn: int) -> Iterator[str]:
    for station in problem.stations:
        there = len(answer.groups_at(station.id, turn))
        name = problem.name(station.id)
        if there and not problem.is_open(station.id, turn):
            yield f"{name} is closed in round {turn}."
        if there > station.groups_max:
            yield f"{name} has {there} groups in round {turn} and takes at most {station.groups_max}."
        if 0 < there < station.groups_min:
            yield f"{name} has {there} of the {station.groups_min} groups it needs in round {turn}."


def _supplies(problem: Problem, answer: Answer, turn: int) -> Iterator[str]:
    running = [station for station in problem.stations if answer.groups_at(station.id, turn)]
    for kind, owned in problem.kit_owned.items():
        needed = sum(station.kit.get(kind, 0) for station in running)
        if needed > owned:
            yield f"Round {turn} needs {needed} {kind} and there are {owned}."
    if problem.staffed is not None and len(running) > problem.staffed:
        yield f"Round {turn} has {len(running)} stations and adults for {problem.staffed}."


def _path(problem: Problem, group: str, path: tuple[str | None, ...]) -> Iterator[str]:
    name, most = problem.name(group), problem.max_hard_run
    for turn, (where, run) in enumerate(zip(path, _hard_runs(problem, path), strict=True), start=1):
        if turn not in problem.future:
            continue
        if where is not None and where in path[: turn - 1]:
            yield f"{name} is at {problem.name(where)} again in round {turn}."
        if most is not None and run > most:
            yield f"{name} has {run} hard stations in a row in round {turn}."


def _idle(problem: Problem, answer: Answer) -> Iterator[str]:
    """Groups that rest although there is room."""
    room = room_of(problem)
    for turn, short in zip(problem.future, room.short, strict=True):
        resting = answer.resting(turn)
        if len(resting) > short and not room.extra:
            yield f"{len(resting)} groups rest in round {turn} and only {short} must."
        elif len(resting) > short:
            yield from _could_work(problem, answer, turn)


def _could_work(problem: Problem, answer: Answer, turn: int) -> Iterator[str]:
    for group in answer.resting(turn):
        if (better := _placed(problem, answer, group, turn)) is not None:
            where = problem.name(str(better.station_of(group, turn)))
            yield f"{problem.name(group)} rests in round {turn} and could be at {where}."


def _placed(problem: Problem, answer: Answer, group: str, turn: int) -> Answer | None:
    """The answer with a group that rests at the first station that can take it, if there is one."""
    tries = (moved(answer, group, turn, station.id) for station in problem.stations)
    return next((better for better in tries if not any(_broken(problem, better))), None)


def settled(problem: Problem, answer: Answer) -> Answer:
    """The answer with every rest filled that can be, when there are more rests than rounds are short of room."""
    if problem.may_rest or not room_of(problem).extra:
        return answer
    for turn in problem.future:
        for group in answer.resting(turn):
            answer = _placed(problem, answer, group, turn) or answer
    return answer


def moved(answer: Answer, group: str, turn: int, station: str | None) -> Answer:
    """The answer with one group somewhere else in one round."""
    row = tuple((name, station if name == group else where) for name, where in answer.rounds[turn - 1])
    return Answer((*answer.rounds[: turn - 1], row, *answer.rounds[turn:]))
