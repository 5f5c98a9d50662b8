"""Last week's groups made to suit today: newcomers where they fit, then as few moved as the rules need."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from clubapp.engine import groups as engine_groups
from clubapp.engine.groups import Answer, Problem

STEPS = 12  # moves and swaps before it is no longer last week's groups


def adapted(problem: Problem, last: Sequence[Sequence[str]]) -> Answer | None:
    """last: last week's groups with the children who are here. None where a few moves do not make the rules hold."""
    answer = Answer.of(last)
    for child in sorted(set(problem.ids) - _placed(answer)):
        answer = _fitted(problem, answer, child)
    for _step in range(STEPS):
        trouble = _trouble(problem, answer)
        if not trouble:
            return answer
        # One child rather than two, where that helps as much.
        better = _best(problem, [[*_moves(answer)], [*_swaps(answer)]])
        if better is None or _trouble(problem, better) >= trouble:
            return None
        answer = better
    return None


def _placed(answer: Answer) -> set[str]:
    return {child for group in answer.groups for child in group}


def _fitted(problem: Problem, answer: Answer, child: str) -> Answer:
    """One more child where it makes least trouble, then is fairest; nobody else moves."""
    there = _placed(answer) | {child}
    part = replace(problem, athletes=tuple(a for a in problem.athletes if a.id in there))
    return min(_joined(answer, child), key=lambda one: (_trouble(part, one), engine_groups.score(part, one)))


def _trouble(problem: Problem, answer: Answer) -> int:
    """How many rules are broken, and by how many children sizes differ more than they need."""
    sizes = [len(group) for group in answer.groups]
    return max(0, max(sizes) - min(sizes) - 1) + len(engine_groups.violations(problem, answer))


def _best(problem: Problem, kinds: Sequence[list[Answer]]) -> Answer | None:
    """The least trouble; of those the kind of change named first; of those the fairest."""
    judged = [(_trouble(problem, answer), kind, answer) for kind, found in enumerate(kinds) for answer in found]
    if not judged:
        return None
    least = min((trouble, kind) for trouble, kind, _answer in judged)
    best = [answer for trouble, kind, answer in judged if (trouble, kind) == least]
    return min(best, key=lambda answer: engine_groups.score(problem, answer))


def _joined(answer: Answer, child: str) -> Iterator[Answer]:
    for index in range(len(answer.groups)):
        yield Answer.of([(*group, child) if at == index else group for at, group in enumerate(answer.groups)])


def _moves(answer: Answer) -> Iterator[Answer]:
    """One child into another group."""
    for index, group in enumerate(answer.groups):
        for child in group:
            rest = Answer.of([[c for c in g if c != child] for g in answer.groups])
            yield from (moved for at, moved in enumerate(_joined(rest, child)) if at != index)


def _swaps(answer: Answer) -> Iterator[Answer]:
    """Two children of different groups change places."""
    for here, there in combinations(range(len(answer.groups)), 2):
        for a in answer.groups[here]:
            for b in answer.groups[there]:
                yield Answer.of([[{a: b, b: a}.get(c, c) for c in group] for group in answer.groups])
