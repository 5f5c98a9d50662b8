"""What a rotation is judged by, as costs for the solver: walking, succession, meetings, rests."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import combinations, pairwise
from typing import Any

from clubapp.engine.rotation_draft import START, Draft
from clubapp.engine.rotation_problem import Answer, Problem
from clubapp.engine.rotation_rules import costs, least_costs, stations_of, weights


def moves(draft: Draft) -> None:
    """A flow of one through the rounds for each group; its linear relaxation is what makes the bound good."""
    problem = draft.problem
    if not (problem.distance_counts or problem.balanced_succession):
        return
    for group in problem.groups:
        known = stations_of(problem.past(group))
        here: dict[str, Any] = {known[-1] if known else START: 1}
        for turn in problem.future:
            here = _step(draft, group, turn, here)


def _step(draft: Draft, group: str, turn: int, here: Mapping[str, Any]) -> dict[str, Any]:
    """One round of a group's flow: from every place it may be to every station, or staying where it rests."""
    model, problem = draft.model, draft.problem
    targets = [station.id for station in problem.stations if (group, turn, station.id) in draft.at]
    rests = (group, turn) in draft.rest
    for place, present in here.items():
        steps = {to: model.new_bool_var("") for to in targets if to != place}
        draft.move |= {(group, turn, place, to): step for to, step in steps.items()}
        if rests:
            draft.stay[group, turn, place] = model.new_bool_var("")
        model.add(sum(steps.values()) + draft.stay.get((group, turn, place), 0) == present)
    for to in targets:
        arriving = [draft.move[group, turn, place, to] for place in here if place != to]
        model.add(sum(arriving) == draft.at[group, turn, to])
    staying = {place: draft.stay[group, turn, place] for place in here} if rests else {}
    if rests:
        model.add(sum(staying.values()) == draft.rest[group, turn])
    places = dict.fromkeys([*targets, *staying])
    return {place: draft.at.get((group, turn, place), 0) + staying.get(place, 0) for place in places}


def walking(draft: Draft) -> None:
    if draft.problem.distance_counts:
        for (_, _, place, to), step in draft.move.items():
            if place != START:
                draft.cost.append((draft.problem.walks[place, to], step))


def successions(draft: Draft) -> None:
    weight = weights(draft.problem, draft.room).successions_again
    if not weight:
        return
    steps: dict[tuple[str, str], list[Any]] = defaultdict(list)
    for group in draft.problem.groups:
        for step in pairwise(stations_of(draft.problem.past(group))):
            steps[step].append(1)
    for (_, _, place, to), step_taken in draft.move.items():
        if place != START:
            steps[place, to].append(step_taken)
    for taken in steps.values():
        draft.cost.append((weight, _above_one(draft, taken)))


def _above_one(draft: Draft, happened: list[Any]) -> Any:
    """How often something happens after the first time."""
    again = draft.model.new_int_var(0, len(happened), "")
    draft.model.add(again >= sum(happened) - 1)
    return again


def meetings(draft: Draft) -> None:
    weight = weights(draft.problem, draft.room).meetings_again
    if not weight:
        return
    for one, other in combinations(draft.problem.groups, 2):
        met = [*_met_before(draft.problem, one, other)]
        for turn in draft.problem.future:
            met.append(draft.model.new_bool_var(""))
            for station in draft.problem.stations:
                both = [draft.at.get((group, turn, station.id), 0) for group in (one, other)]
                if station.groups_max > 1:
                    draft.model.add(sum(both) - 1 <= met[-1])
        draft.cost.append((weight, _above_one(draft, met)))


def _met_before(problem: Problem, one: str, other: str) -> Iterator[int]:
    for here, there in zip(problem.past(one), problem.past(other), strict=True):
        if here is not None and here == there:
            yield 1


def even_rests(draft: Draft) -> None:
    problem, weight = draft.problem, weights(draft.problem, draft.room)
    if not draft.rest:
        return
    most = draft.model.new_int_var(0, problem.rounds, "")
    for group in problem.groups:
        before = problem.past(group).count(None)
        ahead = [draft.rest[group, turn] for turn in problem.future if (group, turn) in draft.rest]
        draft.model.add(most >= sum(ahead) + before)
    draft.cost.append((weight.most_rests, most))
    draft.cost += [(weight.rests, resting) for resting in draft.rest.values()]


def minimise(draft: Draft) -> None:
    """With what the rounds that are over have cost, and without what nobody can avoid: the score in millimetres."""
    problem, weight = draft.problem, weights(draft.problem, draft.room)
    least, past = least_costs(problem, draft.room), costs(problem, Answer(problem.fixed))
    spent = weight.rests * (past.rests - least.rests) - weight.most_rests * least.most_rests
    spent += weight.walking_mm * past.walking_mm
    if any(amount for amount, _ in draft.cost):
        draft.model.minimize(spent + sum(amount * happened for amount, happened in draft.cost))
