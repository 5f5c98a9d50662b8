"""From what the coach asks to groups, rotation and timetable: three questions to the engine, one after another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any
from uuid import UUID

from clubapp.engine import groups as engine_groups
from clubapp.engine import rotation as engine_rotation
from clubapp.engine import timetable as engine_timetable
from clubapp.engine import words
from clubapp.engine.outcome import Outcome, Reason, Status
from clubapp.planning.models import Block
from clubapp.rotation import adapting, bridge, queries
from clubapp.rotation.aside import aside
from clubapp.rotation.evening import Evening
from clubapp.rotation.queries import PlanView
from clubapp.rotation.wishes import Wishes

MOST_IN_HERE = 30  # children whose groups are found within the request; more are found in a process of their own


@dataclass(frozen=True)
class Task:
    """What to build from. kept: the plan whose locks and bibs count, if any. names: for the sentences of a clash.

    running: the stored answer the bell goes by; its bibs, rounds and timetable stay, only children move.
    """

    evening: Evening
    wishes: Wishes
    seed: int
    kept: PlanView | None
    names: dict[UUID, str]
    running: dict[str, Any] | None = None


@dataclass(frozen=True)
class Draft:
    """A plan not yet stored, in the stored form."""

    answer: dict[str, Any]
    proof: dict[str, Any]


@dataclass(frozen=True)
class Clash:
    """Wishes that cannot all be had: the smallest set of rules that clash."""

    reasons: tuple[Reason, ...]


def build(task: Task) -> Draft | Clash:
    """Groups first, then where they go, then when."""
    outcome = solved(groups_problem(task), task.seed)
    if outcome.answer is None:
        return Clash(outcome.reasons)
    return with_groups(task, outcome, bibs_of(task))


def adapt(task: Task) -> Draft | Clash:
    """Last week's groups with few moved; where today's rules ask for more than that, groups as fair as can be."""
    problem = bridge.groups_problem(task.evening, task.wishes, names=task.names)
    answer = adapting.adapted(problem, _last(task))
    if answer is None:
        outcome = solved(problem, task.seed)
    else:
        outcome = Outcome(answer, Status.SIMPLE, engine_groups.score(problem, answer), 0.0, 0.0)
    return Clash(outcome.reasons) if outcome.answer is None else with_groups(task, outcome, last_bibs(task))


def solved(problem: engine_groups.Problem, seed: int) -> Outcome[engine_groups.Answer]:
    """A big squad takes seconds, and is not to hold up anybody's bell."""
    work = partial(engine_groups.solve, problem, seed=seed)
    return work() if len(problem.athletes) <= MOST_IN_HERE else aside(work)


def _last(task: Task) -> list[list[str]]:
    """Last week's groups as far as their children are here, as many as are wished."""
    rows = task.kept.groups[: task.wishes.groups] if task.kept else ()
    groups = [[str(child) for child in group.athletes if child in task.evening.here] for group in rows]
    return [*groups, *([] for _ in range(task.wishes.groups - len(groups)))]


def with_groups(task: Task, cut: Outcome[engine_groups.Answer], bibs: Sequence[str]) -> Draft | Clash:
    """The rotation and the timetable for groups that stand."""
    if cut.answer is None:
        return Clash(cut.reasons)
    groups = [{"bib": bib, "athletes": list(group)} for bib, group in zip(bibs, cut.answer.groups, strict=True)]
    if task.running is not None:
        return Draft({**task.running, "groups": groups}, {"groups": proof_of(cut)})
    problem = bridge.rotation_problem(task.evening, task.wishes)
    turns = engine_rotation.solve(problem, seed=task.seed)
    if turns.answer is None:
        return Clash(turns.reasons)
    rounds = bridge.rounds_of(problem, turns.answer)
    hours = engine_timetable.solve(bridge.timetable_problem(task.evening, task.wishes, rounds))
    if hours.answer is None:
        return Clash(hours.reasons)
    timetable = whole_evening(task.evening, bridge.entries(hours.answer))
    ends = [[end.hard_run, end.walking_m] for end in engine_rotation.trade(problem, turns, seed=task.seed)]
    rotation = {**proof_of(turns), "ends": ends}
    proof = {"groups": proof_of(cut), "rotation": rotation, "timetable": proof_of(hours)}
    return Draft({"groups": groups, "rounds": rounds, "timetable": timetable}, proof)


def proof_of(outcome: Outcome[Any]) -> dict[str, Any]:
    return {"status": str(outcome.status), "score": outcome.score, "bound": outcome.bound}


def groups_problem(task: Task) -> engine_groups.Problem:
    locked, sizes = locks(task), locked_sizes(task)
    problem = bridge.groups_problem(task.evening, task.wishes, locked=locked, sizes=sizes, names=task.names)
    return with_history(problem, task)


def with_history(problem: engine_groups.Problem, task: Task) -> engine_groups.Problem:
    """Who was together lately, where the coach wants other company."""
    if not task.wishes.new_company:
        return problem
    met = queries.met(task.evening.session, task.evening.here)
    return replace(problem, met={frozenset(map(str, pair)): weight for pair, weight in met.items()})


def locks(task: Task) -> dict[UUID, int]:
    """Children who stay where they are: locked themselves, or in a locked group."""
    if task.kept is None:
        return {}
    return {
        child: group.index
        for group in task.kept.groups[: task.wishes.groups]
        for child in group.athletes
        if child in task.evening.here and task.kept.locked & {f"athlete:{child}", f"group:{group.index}"}
    }


def locked_sizes(task: Task) -> tuple[int, ...] | None:
    """A locked group keeps its size, so that nobody joins it; the others are as equal as can be."""
    shut = locked_groups(task)
    if not shut or "size" in task.wishes.dropped or len(shut) >= task.wishes.groups:
        return None
    here = task.evening.here
    fixed = {index: sum(child in here for child in task.kept.groups[index].athletes) for index in shut if task.kept}
    open_groups = [index for index in range(task.wishes.groups) if index not in fixed]
    each, over = divmod(len(here) - sum(fixed.values()), len(open_groups))
    shared = {index: each + (place < over) for place, index in enumerate(open_groups)}
    return tuple({**fixed, **shared}[index] for index in range(task.wishes.groups))


def locked_groups(task: Task) -> set[int]:
    if task.kept is None:
        return set()
    shut = {int(token.removeprefix("group:")) for token in task.kept.locked if token.startswith("group:")}
    return {index for index in shut if index < min(task.wishes.groups, len(task.kept.groups))}


def kept_locks(task: Task) -> list[str]:
    """The locks that go on into the new plan: not those the coach gave up to make it possible."""
    held = locks(task)
    lost = {f"athlete:{token.removeprefix('lock:')}" for token in task.wishes.dropped if token.startswith("lock:")}
    athletes = {f"athlete:{child}" for child in held} & (task.kept.locked if task.kept else frozenset())
    groups = {f"group:{index}" for index in locked_groups(task)} if "size" not in task.wishes.dropped else set()
    return sorted((athletes - lost) | groups)


def bibs_of(task: Task) -> list[str]:
    """Colours by lot, so that they say nothing; round locks the children keep the colour they already wear."""
    return last_bibs(task) if task.running or locks(task) else drawn_bibs(task)


def last_bibs(task: Task) -> list[str]:
    if task.running is not None:
        return [row["bib"] for row in task.running["groups"]]
    if task.kept and len(task.kept.groups) == task.wishes.groups:
        return [group.bib for group in task.kept.groups]
    return drawn_bibs(task)


def drawn_bibs(task: Task) -> list[str]:
    names = words.bib_names(task.wishes.groups)
    return [names[index] for index in engine_groups.name_order(task.wishes.groups, task.seed)]


def whole_evening(evening: Evening, rotation: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The blocks of the session in order, the rotation spelled out in its place, or at the end if it has none."""
    blocks = list(Block.objects.filter(session=evening.session))
    parts: list[dict[str, Any]] = []
    for block in blocks:
        if block.kind == Block.Kind.ROTATION:
            parts += rotation
        elif block.seconds:
            parts.append({"kind": str(block.kind), "seconds": block.seconds, "round": None})
    has_place = any(block.kind == Block.Kind.ROTATION for block in blocks)
    return parts if has_place else parts + rotation
