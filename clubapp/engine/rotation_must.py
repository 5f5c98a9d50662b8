"""What every rotation must keep, as constraints for the solver: one function a family."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from clubapp.engine.rotation_draft import Draft


def places(draft: Draft) -> None:
    problem = draft.problem
    free = problem.may_rest or draft.room.extra
    for turn, short in zip(problem.future, draft.room.short, strict=True):
        for group in problem.groups:
            for station in problem.stations:
                if problem.is_open(station.id, turn) and station.id not in problem.past(group):
                    draft.at[group, turn, station.id] = draft.model.new_bool_var("")
            if free or short:
                draft.rest[group, turn] = draft.model.new_bool_var("")


def one_place_a_round(draft: Draft) -> None:
    for group in draft.problem.groups:
        for turn in draft.problem.future:
            resting = [draft.rest[group, turn]] if (group, turn) in draft.rest else []
            draft.model.add_exactly_one([*draft.choices(group, turn), *resting])


def once_at_a_station(draft: Draft) -> None:
    problem = draft.problem
    for group in problem.groups:
        new = [station.id for station in problem.stations if station.id not in problem.past(group)]
        everywhere = not draft.rest and len(new) == len(problem.future)
        for station in new:
            visits = [draft.at[key] for turn in problem.future if (key := (group, turn, station)) in draft.at]
            if everywhere:
                draft.model.add_exactly_one(visits)
            else:
                draft.model.add_at_most_one(visits)


def running(draft: Draft) -> None:
    """Whether anybody is at a station, where the smallest number of groups, kit or adults ask for it."""
    problem = draft.problem
    for station in problem.stations:
        uses_kit = any(station.kit.get(kind) for kind in problem.kit_owned)
        if station.groups_min > 1 or uses_kit or problem.staffed is not None:
            for turn in problem.future:
                draft.running[turn, station.id] = draft.model.new_bool_var("")


def room_at_stations(draft: Draft) -> None:
    for turn in draft.problem.future:
        for station in draft.problem.stations:
            there = draft.there(turn, station.id)
            running = draft.running.get((turn, station.id))
            if running is not None:
                draft.model.add(sum(there) <= station.groups_max * running)
                draft.model.add(sum(there) >= station.groups_min * running)
            elif station.groups_max == 1:
                draft.model.add_at_most_one(there)
            else:
                draft.model.add(sum(there) <= station.groups_max)


def supplies(draft: Draft) -> None:
    problem = draft.problem
    for turn in problem.future:
        running = [(station, draft.running.get((turn, station.id), 0)) for station in problem.stations]
        for kind, owned in problem.kit_owned.items():
            draft.model.add(sum(station.kit.get(kind, 0) * used for station, used in running) <= owned)
        if problem.staffed is not None:
            draft.model.add(sum(used for _, used in running) <= problem.staffed)


def hard_runs(draft: Draft) -> None:
    """Of any most + 1 rounds in a row one is easy; rounds that are over count with those to come."""
    problem, most = draft.problem, draft.problem.max_hard_run
    if most is None:
        return
    for group in problem.groups:
        for last in problem.future:
            if last > most:
                window = range(last - most, last + 1)
                draft.model.add(sum(_hard(draft, group, turn) for turn in window) <= most)


def _hard(draft: Draft, group: str, turn: int) -> Any:
    problem = draft.problem
    if turn not in problem.future:
        where = problem.past(group)[turn - 1]
        return int(where is not None and problem.station[where].hard)
    keys = ((group, turn, station.id) for station in problem.stations if station.hard)
    return sum(draft.at[key] for key in keys if key in draft.at)


def rests(draft: Draft) -> None:
    """Only where there is no room; with too few places over the whole time, as few as can be."""
    if draft.problem.may_rest or draft.room.extra:
        return
    for turn, short in zip(draft.problem.future, draft.room.short, strict=True):
        if short:
            draft.model.add(sum(draft.rest[group, turn] for group in draft.problem.groups) <= short)


def alike(draft: Draft) -> None:
    """Groups that have been nowhere yet are alike: they stand in the order of their first stations."""
    problem = draft.problem
    if problem.fixed:
        return
    order = {station.id: number for number, station in enumerate(problem.stations)}
    ranks = []
    for group in problem.groups:
        keys = [(group, 1, station) for station in order]
        resting = draft.rest.get((group, 1), 0) * len(order)
        ranks.append(sum(order[key[2]] * draft.at[key] for key in keys if key in draft.at) + resting)
    for before, after in pairwise(ranks):
        draft.model.add(before <= after)
    if not draft.rest and len(order) == len(ranks) and all(s.groups_max == 1 for s in problem.stations):
        for group, station in zip(problem.groups, order, strict=True):
            draft.model.add(draft.at[group, 1, station] == 1)
