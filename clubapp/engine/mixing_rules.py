"""The rules of mixing one by one: how they read, whether rounds keep them, and a problem without one.

Every rule speaks of one round at a time, so they can be kept in many rounds exactly where they can be kept in one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

from clubapp.engine.mixing_problem import Answer, Groups, Problem
from clubapp.engine.outcome import Reason


def listed(problem: Problem, children: tuple[str, ...]) -> str:
    """Names as a coach would say them: "Ada, Ben and Cy"."""
    names = [problem.name(child) for child in children]
    return " and ".join([", ".join(names[:-1]), names[-1]])


def reasons(problem: Problem) -> tuple[Reason, ...]:
    """Every rule of the problem in words, each with its way out."""
    return (*_pair_reasons(problem), *_kind_reasons(problem), *_age_reasons(problem))


def _pair_reasons(problem: Problem) -> Iterator[Reason]:
    for code, rules, words, way in (
        ("together", problem.together, "are to stay together", "be in different groups"),
        ("apart", problem.apart, "are to be kept apart", "be in one group"),
    ):
        for rule in rules:
            about = tuple(child for child in sorted(problem.ids) if child in rule)
            if len(about) > 1:
                names = listed(problem, about)
                yield Reason(code, f"{names} {words}.", about, f"Let {names} {way}.")


def _kind_reasons(problem: Problem) -> Iterator[Reason]:
    for kind in problem.not_alone:
        text = f"Nobody of the kind {kind} is to be the only one in a group."
        yield Reason("not_alone", text, (kind,), f"Let one child of the kind {kind} be alone in a group.")


def _age_reasons(problem: Problem) -> Iterator[Reason]:
    years = "one year" if problem.within_years == 1 else f"{problem.within_years or 0:g} years"
    for child in sorted(problem.near):
        name = problem.name(child)
        text = f"{name} is to have another child within {years} in the group."
        yield Reason("within_years", text, (child,), f"Let {name} be without one.")


def without(problem: Problem, reason: Reason) -> Problem:
    """The problem with one rule taken away: what the way out of a reason does."""
    about, here = frozenset(reason.about), frozenset(problem.ids)
    match reason.code:
        case "together":
            return replace(problem, together=tuple(rule for rule in problem.together if rule & here != about))
        case "apart":
            return replace(problem, apart=tuple(rule for rule in problem.apart if rule & here != about))
        case "not_alone":
            return replace(problem, not_alone=tuple(kind for kind in problem.not_alone if kind not in about))
        case _:
            return replace(problem, excused=problem.excused | about)


def violations(problem: Problem, answer: Answer) -> list[str]:
    """What the rounds break, in words; empty when they keep everything."""
    found = [] if len(answer.rounds) == problem.rounds else [f"There are to be {problem.rounds} rounds."]
    for turn, groups in enumerate(answer.rounds, start=1):
        if sorted(child for group in groups for child in group) != sorted(problem.ids):
            found.append(f"In round {turn} not every child is in one group.")
        if sorted(map(len, groups)) != sorted(problem.sizes):
            found.append(f"In round {turn} the groups are not as equal in size as possible.")
        found += _pairs_broken(problem, turn, groups)
        found += _company_missing(problem, turn, groups)
    return found


def _pairs_broken(problem: Problem, turn: int, groups: Groups) -> Iterator[str]:
    together = {pair for group in groups for pair in combinations(sorted(group), 2)}
    for one, other in sorted(problem.pairs(problem.together) - together):
        yield f"{problem.name(one)} and {problem.name(other)} are to stay together; round {turn} parts them."
    for one, other in sorted(problem.pairs(problem.apart) & together):
        yield f"{problem.name(one)} and {problem.name(other)} are to be kept apart; round {turn} does not."


def _company_missing(problem: Problem, turn: int, groups: Groups) -> Iterator[str]:
    for kind in problem.not_alone:
        alone = [child for group in groups if len(found := problem.of_kind(kind) & set(group)) == 1 for child in found]
        for child in sorted(alone):
            yield f"{problem.name(child)} is the only one of the kind {kind} in a group in round {turn}."
    company = problem.near
    for child, mates in sorted((child, set(group)) for group in groups for child in group):
        if child in company and not company[child] & mates:
            yield f"{problem.name(child)} has nobody near in age in the group in round {turn}."
