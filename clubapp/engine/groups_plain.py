"""The plain methods every coach knows: counting off, and dealing like a snake by ability. Neither looks at rules."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from clubapp.engine import designs, fairness
from clubapp.engine.groups_problem import Answer, Mode, Problem


def deal(problem: Problem, order: Sequence[str], turns: Iterable[int]) -> Answer:
    """Children in order to groups in turn, passing over groups that have their size."""
    room = list(problem.sizes or [len(order)] * problem.groups)
    groups: list[list[str]] = [[] for _ in range(problem.groups)]
    waiting = iter(order)
    child = next(waiting, None)
    for index in turns:
        if child is None:
            break
        if len(groups[index]) < room[index]:
            groups[index].append(child)
            child = next(waiting, None)
    return Answer.of(groups)


def count_off(problem: Problem) -> Answer:
    """1, 2, 3, 1, 2, 3, … in the order the children stand in the problem."""
    turns = [*range(problem.groups)] * max(1, len(problem.athletes))
    return deal(problem, problem.ids, turns)


def serpentine(problem: Problem, by: str | None = None) -> Answer:
    """Ranked by one attribute, or by all of them together, then dealt like a snake. Ties go by id."""
    chosen = problem.balance if by is None else (fairness.Attribute(by),)
    able = fairness.ability(problem.athletes, problem.on, chosen)
    order = [child for _, child in sorted(zip([-value for value in able], problem.ids, strict=True))]
    return deal(problem, order, designs.serpentine(2 * problem.groups * max(1, len(order)), problem.groups))


def bands(problem: Problem) -> Answer:
    """Ranked by ability and cut into consecutive groups, the most able first."""
    able = fairness.ability(problem.athletes, problem.on, problem.balance)
    order = [child for _, child in sorted(zip([-value for value in able], problem.ids, strict=True))]
    large, over = divmod(len(order), problem.groups)
    sizes = problem.sizes or [large + (index < over) for index in range(problem.groups)]
    return deal(problem, order, [index for index, size in enumerate(sizes) for _ in range(size)])


def baselines(problem: Problem) -> tuple[Answer, ...]:
    """Every plain answer there is, the starts of the search: an answer worse than one of these is never given."""
    single = [attribute.name for attribute in problem.balance]
    snakes = [serpentine(problem), *(serpentine(problem, by=name) for name in single)]
    first = [bands(problem)] if problem.mode is Mode.LIKE else []
    return (*first, count_off(problem), *snakes)
