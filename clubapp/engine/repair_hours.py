"""When it all happens now: change-overs as long as their walks, water as it was, and what becomes of lost time."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from clubapp.engine.repair_problem import Problem, Way
from clubapp.engine.rotation import Answer as Rotation
from clubapp.engine.timetable import STEP_S, Answer, Entry, Kind


@dataclass(frozen=True)
class Hours:
    """over_s: how much later than planned it ends; below 0 where time is left over."""

    answer: Answer
    over_s: int


def after(problem: Problem, rotation: Rotation) -> Hours:
    """The timetable for a rotation with nothing done about time that is lost."""
    rounds = len(rotation.rounds)
    walks = list(walks_s(problem, rotation))
    entries = [_stretched(problem, entry, walks) for entry in problem.hours.entries if _stays(entry, rounds)]
    entries = [replace(entry, round=None if entry.round is None else min(entry.round, rounds)) for entry in entries]
    answer = Answer(tuple(entries))
    return Hours(answer, answer.seconds + problem.lost_s - problem.hours.seconds)


def _stays(entry: Entry, rounds: int) -> bool:
    """A round that is dropped goes with the change-over that led to it; water stays."""
    last = {Kind.WORK: rounds, Kind.CHANGE: rounds - 1}
    return entry.round is None or entry.kind not in last or entry.round <= last[entry.kind]


def _stretched(problem: Problem, entry: Entry, walks: list[int]) -> Entry:
    if entry.kind is not Kind.CHANGE or entry.round is None or entry.round < problem.at_round - 1:
        return entry
    return replace(entry, seconds=max(entry.seconds, walks[entry.round - 1]))


def walks_s(problem: Problem, rotation: Rotation) -> Iterator[int]:
    """For each change-over the whole fives the longest walk takes; a group that rests stays where it was."""
    paths = [list(_places(rotation.path(name))) for name in problem.turns.groups]
    for turn in range(len(rotation.rounds) - 1):
        steps = [(path[turn], path[turn + 1]) for path in paths]
        metres = max(problem.turns.walks.get((here or "", there or ""), 0) for here, there in steps) / 1000
        yield up(metres / problem.walk_m_s)


def _places(path: tuple[str | None, ...]) -> Iterator[str | None]:
    at: str | None = None
    for where in path:
        at = where or at
        yield at


def up(seconds: float) -> int:
    """The next whole five seconds."""
    return STEP_S * math.ceil(round(seconds / STEP_S, 9))


def shortened(problem: Problem, hours: Hours) -> Hours | None:
    """Every round to come shorter by the same; None where too little would be left of them."""
    turns = [entry for entry in hours.answer.entries if _to_come(problem, entry)]
    less = up(hours.over_s / len(turns))
    if min(entry.seconds for entry in turns) - less < problem.least_work_s:
        return None
    entries = [replace(e, seconds=e.seconds - less) if _to_come(problem, e) else e for e in hours.answer.entries]
    return Hours(Answer(tuple(entries)), hours.over_s - less * len(turns))


def lengthened(problem: Problem, hours: Hours) -> Hours | None:
    """Every round to come longer by the same, out of the time that is left over; None where it is too little."""
    turns = [entry for entry in hours.answer.entries if _to_come(problem, entry)]
    more = STEP_S * (-hours.over_s // (STEP_S * len(turns)))
    if more <= 0:
        return None
    entries = [replace(e, seconds=e.seconds + more) if _to_come(problem, e) else e for e in hours.answer.entries]
    return Hours(Answer(tuple(entries)), hours.over_s + more * len(turns))


def _to_come(problem: Problem, entry: Entry) -> bool:
    return entry.kind is Kind.WORK and (entry.round or 0) >= problem.at_round


def violations(problem: Problem, rotation: Rotation, answer: Answer, way: Way | None) -> list[str]:
    """What is wrong with the new timetable, in words."""
    entries, rounds = answer.entries, len(rotation.rounds)
    found = [
        f"The {entry.kind} of {entry.seconds} s is not whole fives." for entry in entries if entry.seconds % STEP_S
    ]
    works = [entry for entry in entries if entry.kind is Kind.WORK]
    if [entry.round for entry in works] != list(range(1, rounds + 1)):
        found.append(f"There are to be {rounds} rounds, one after the other.")
    if [e for e in entries if _is_over(problem, e)] != [e for e in problem.hours.entries if _is_over(problem, e)]:
        found.append("A part that is over was changed.")
    if len({entry.seconds for entry in works if _to_come(problem, entry)}) > 1:
        found.append("The rounds to come are not equally long.")
    if [e.seconds for e in entries if _is_given(e)] != [e.seconds for e in problem.hours.entries if _is_given(e)]:
        found.append("Water or another part was cut.")
    found += _changes(problem, rotation, answer)
    if way is not Way.OVER and answer.seconds + problem.lost_s > problem.hours.seconds:
        found.append("It ends later than planned.")
    return found


def _is_over(problem: Problem, entry: Entry) -> bool:
    behind = {Kind.WORK: problem.at_round - 1, Kind.CHANGE: problem.at_round - 2}
    return entry.round is not None and entry.kind in behind and entry.round <= behind[entry.kind]


def _is_given(entry: Entry) -> bool:
    return entry.kind not in (Kind.WORK, Kind.CHANGE)


def _changes(problem: Problem, rotation: Rotation, answer: Answer) -> Iterator[str]:
    """Change-overs to come: never below their walk, and never below what was planned."""
    walks = list(walks_s(problem, rotation))
    planned = {e.round: e.seconds for e in problem.hours.entries if e.kind is Kind.CHANGE}
    for entry in answer.entries:
        turn = entry.round or 0
        to_come = entry.kind is Kind.CHANGE and turn >= problem.at_round - 1
        if to_come and entry.seconds < max(walks[turn - 1], planned.get(turn, 0)):
            yield f"The change-over after round {turn} is shorter than its walk or than was planned."
    between = [entry.kind for entry in answer.entries if not _is_given(entry)]
    if any(a is b for a, b in pairwise([Kind.CHANGE, *between, Kind.CHANGE])):
        yield "Rounds and change-overs do not take turns."
