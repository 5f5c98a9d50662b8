"""The coach's rules for groups, one by one: whether groups keep them, how they read, and a problem without one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from clubapp.engine.groups_problem import FIRST_TIMER, Answer, Problem
from clubapp.engine.outcome import Reason
from clubapp.engine.words import DAYS_IN_A_YEAR


def listed(problem: Problem, children: Sequence[str]) -> str:
    """Names as a coach would say them: "Ada, Ben and Cy"."""
    names = [problem.name(child) for child in children]
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def years(number: float) -> str:
    """ "one year", "2 years", "1.5 years"."""
    return "one year" if number == 1 else f"{number:g} years"


def here(problem: Problem, children: frozenset[str]) -> tuple[str, ...]:
    """Those of a rule's children who are present, sorted."""
    return tuple(sorted(children & set(problem.ids)))


def ages(problem: Problem) -> dict[str, int]:
    """Day of birth as a number, for the children whose date of birth is known."""
    return {athlete.id: athlete.born.toordinal() for athlete in problem.athletes if athlete.born is not None}


def days(number_of_years: float) -> int:
    """Whole days in so many years, so that ages compare as integers."""
    return int(number_of_years * DAYS_IN_A_YEAR)


def chains(problem: Problem) -> tuple[tuple[str, ...], ...]:
    """Children tied together by one rule or by several that share a child; only chains of two and more."""
    tied = tied_together(here(problem, rule) for rule in problem.together)
    return tuple(sorted(tuple(sorted(chain)) for chain in tied if len(chain) > 1))


def tied_together(links: Iterable[Collection[str]]) -> list[set[str]]:
    """Links that share a child become one chain."""
    tied: list[set[str]] = []
    for link in links:
        touching = [chain for chain in tied if not chain.isdisjoint(link)]
        tied = [*(chain for chain in tied if chain.isdisjoint(link)), set(link).union(*touching)]
    return tied


def apart_pairs(problem: Problem) -> set[tuple[str, str]]:
    """Pairs that may not stand in one group because a rule says so."""
    return {pair for rule in problem.apart for pair in combinations(here(problem, rule), 2)}


def reasons(problem: Problem) -> tuple[Reason, ...]:
    """Every rule of the problem in words, with the one change that takes it away."""
    return tuple(_reasons(problem))


def _reasons(problem: Problem) -> Iterator[Reason]:
    yield from _pair_reasons(problem)
    yield from _kind_reasons(problem)
    yield from _age_reasons(problem)
    present = set(problem.ids)
    for child, index in problem.locks:
        if child in present:
            name = problem.name(child)
            text = f"{name} is locked to group {index + 1}."
            yield Reason("lock", text, (child, str(index)), f"Unlock {name}.")
    if problem.sizes is not None:
        text = f"The groups are to have {', '.join(map(str, problem.sizes))} children."
        yield Reason("size", text, tuple(map(str, problem.sizes)), "Make the groups as equal as possible.")


def _pair_reasons(problem: Problem) -> Iterator[Reason]:
    for rule in problem.together:
        if len(about := here(problem, rule)) > 1:
            names = listed(problem, about)
            yield Reason("together", f"{names} are to stay together.", about, f"Let {names} be in different groups.")
    for rule in problem.apart:
        if len(about := here(problem, rule)) > 1:
            names = listed(problem, about)
            yield Reason("apart", f"{names} are to be kept apart.", about, f"Let {names} be in one group.")


def _kind_reasons(problem: Problem) -> Iterator[Reason]:
    for kind in problem.not_alone:
        text = f"Nobody of the kind {kind} is to be the only one in a group."
        yield Reason("not_alone", text, (kind,), f"Let one child of the kind {kind} be alone in a group.")
    if problem.guided:
        text = "Every first-timer is to be with somebody who has come three times."
        yield Reason("guided", text, (), "Let first-timers be in a group of their own.")


def _age_reasons(problem: Problem) -> Iterator[Reason]:
    if problem.within_years is not None:
        far = years(problem.within_years)
        for child in sorted(set(ages(problem)) - problem.excused):
            text = f"{problem.name(child)} is to have another child within {far} in the group."
            yield Reason("within_years", text, (child,), f"Let {problem.name(child)} be without one.")
    if problem.largest_age_gap_years is not None:
        far = years(problem.largest_age_gap_years)
        text = f"The oldest and the youngest of a group are to be at most {far} apart."
        yield Reason("age_gap", text, (), "Leave out the rule on the largest age gap.")


def without(problem: Problem, reason: Reason) -> Problem:
    """The problem with one rule taken away: what the way out of a reason does. "within_years" of nobody: of all."""
    about = frozenset(reason.about)
    match reason.code:
        case "together":
            return replace(problem, together=tuple(r for r in problem.together if frozenset(here(problem, r)) != about))
        case "apart":
            return replace(problem, apart=tuple(r for r in problem.apart if frozenset(here(problem, r)) != about))
        case "not_alone":
            return replace(problem, not_alone=tuple(kind for kind in problem.not_alone if kind not in about))
        case "within_years" if not about:
            return replace(problem, within_years=None)
        case "within_years":
            return replace(problem, excused=problem.excused | about)
        case "age_gap":
            return replace(problem, largest_age_gap_years=None)
        case "guided":
            return replace(problem, guided=False)
        case "lock":
            return replace(problem, locks=tuple(lock for lock in problem.locks if lock[0] != reason.about[0]))
        case _:
            return replace(problem, sizes=None)


def violations(problem: Problem, answer: Answer) -> list[str]:
    """What the groups break, in words; empty when they keep everything."""
    found = _shape(problem, answer)
    seat = {child: index for index, group in enumerate(answer.groups) for child in group}
    if set(seat) != set(problem.ids):
        return found
    groups = [list(group) for group in answer.groups]
    return found + [rule.text for rule in reasons(problem) if rule.code != "size" and _broken(problem, rule, groups)]


def _shape(problem: Problem, answer: Answer) -> list[str]:
    """Every child in exactly one group, and the groups of the right number and size."""
    found: list[str] = []
    stands = Counter(child for group in answer.groups for child in group)
    for child in sorted(set(problem.ids) - set(stands)):
        found.append(f"{problem.name(child)} is in no group.")
    for child in sorted(set(stands) - set(problem.ids)):
        found.append(f"{problem.name(child)} is in a group but not here.")
    found += [f"{problem.name(child)} is in a group more than once." for child in sorted(stands) if stands[child] > 1]
    sizes = [len(group) for group in answer.groups]
    if len(sizes) != problem.groups:
        found.append(f"There are {len(sizes)} groups instead of {problem.groups}.")
    elif problem.sizes is not None and tuple(sizes) != problem.sizes:
        found.append(f"The groups have {', '.join(map(str, sizes))} children.")
    elif problem.sizes is None and max(sizes) - min(sizes) > 1:
        found.append("The groups are not as equal in size as possible.")
    return found


def _broken(problem: Problem, rule: Reason, groups: list[list[str]]) -> bool:
    about = set(rule.about)
    match rule.code:
        case "together":
            return not any(about <= set(group) for group in groups)
        case "apart":
            return any(len(about & set(group)) > 1 for group in groups)
        case "not_alone":
            kind = {athlete.id for athlete in problem.athletes if rule.about[0] in athlete.kinds}
            return any(len(kind & set(group)) == 1 for group in groups)
        case "guided":
            new = {athlete.id for athlete in problem.athletes if FIRST_TIMER in athlete.kinds}
            return any(group and set(group) <= new for group in groups)
        case "lock":
            index = int(rule.about[1])
            return not (0 <= index < len(groups) and rule.about[0] in groups[index])
    return _age_broken(problem, rule, groups)


def _age_broken(problem: Problem, rule: Reason, groups: list[list[str]]) -> bool:
    born = ages(problem)
    if rule.code == "age_gap":
        known = [[born[child] for child in group if child in born] for group in groups]
        far = days(problem.largest_age_gap_years or 0)
        return any(max(group) - min(group) > far for group in known if group)
    child = rule.about[0]
    mates = next(group for group in groups if child in group)
    near = days(problem.within_years or 0)
    return not any(abs(born[child] - born[mate]) <= near for mate in mates if mate != child and mate in born)
