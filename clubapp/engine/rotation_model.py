"""The rotation for the solver: built, run from a start, and read back."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from clubapp.engine import cpsat
from clubapp.engine import rotation_aims as judged
from clubapp.engine import rotation_must as must
from clubapp.engine.limits import Limit
from clubapp.engine.rotation_draft import START, Draft
from clubapp.engine.rotation_problem import Answer, Problem, answer_of
from clubapp.engine.rotation_room import Room


def build(problem: Problem, room: Room, *, aims: bool = True) -> Draft:
    """The whole model; the calls are its table of contents. Without aims any answer that keeps the rules will do."""
    draft = Draft(problem, room, cpsat.new_model())
    must.places(draft)
    must.one_place_a_round(draft)
    must.once_at_a_station(draft)
    must.running(draft)
    must.room_at_stations(draft)
    must.supplies(draft)
    must.hard_runs(draft)
    must.rests(draft)
    must.alike(draft)
    if aims:
        judged.moves(draft)
        judged.walking(draft)
        judged.successions(draft)
        judged.meetings(draft)
        judged.even_rests(draft)
        judged.minimise(draft)
    return draft


def run(draft: Draft, limit: Limit, seed: int, start: Answer | None) -> cpsat.Run:
    """Solve, from a start if there is one."""
    if start is not None:
        cpsat.hint(draft.model, _hints(draft, start))
    return cpsat.run(draft.model, limit, seed, linear=2)


def _hints(draft: Draft, start: Answer) -> Iterator[tuple[Any, int]]:
    """Every literal as it is in the start, its groups in the order the model puts them."""
    paths = in_order(draft.problem, start)
    for (group, turn, station), literal in draft.at.items():
        yield literal, int(paths[group][turn - 1] == station)
    for (group, turn), literal in draft.rest.items():
        yield literal, int(paths[group][turn - 1] is None)
    for (group, turn, place, to), literal in draft.move.items():
        yield literal, int(paths[group][turn - 1] == to and _last(paths[group], turn) == place)
    for (group, turn, place), literal in draft.stay.items():
        yield literal, int(paths[group][turn - 1] is None and _last(paths[group], turn) == place)


def _last(path: tuple[str | None, ...], turn: int) -> str:
    """The station a group comes from when a round begins."""
    return next((where for where in reversed(path[: turn - 1]) if where is not None), START)


def in_order(problem: Problem, answer: Answer) -> dict[str, tuple[str | None, ...]]:
    """Paths in the order of their first stations; where rounds are over every group keeps its own."""
    paths = [answer.path(group) for group in problem.groups]
    if not problem.fixed:
        order = {station.id: number for number, station in enumerate(problem.stations)}
        paths.sort(key=lambda path: len(order) if path[0] is None else order[path[0]])
    return dict(zip(problem.groups, paths, strict=True))


def read(draft: Draft, done: cpsat.Run) -> Answer:
    """The answer the solver found."""
    problem = draft.problem
    paths: dict[str, list[str | None]] = {group: [*problem.past(group)] for group in problem.groups}
    for group in problem.groups:
        for turn in problem.future:
            keys = ((group, turn, station.id) for station in problem.stations)
            paths[group].append(next((key[2] for key in keys if key in draft.at and done.true(draft.at[key])), None))
    return answer_of(problem, paths)
