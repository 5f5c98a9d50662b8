"""How many meetings must be repeated, by counting: by children who need not be together."""

from __future__ import annotations

from collections.abc import Iterator

from clubapp.engine.mixing_problem import Problem

Chain = frozenset[str]


def least_repeats(problem: Problem) -> int:
    """No rounds that keep the rules repeat fewer.

    There are only so many pairs who can meet; each child has only so many to meet; and with more children in a group
    than there are groups some of them meet again in every round that follows (pigeon-hole, for each two rounds).
    """
    held, others = len(problem.held), possible(problem)
    a_round = sum(size * (size - 1) // 2 for size in problem.sizes) - held
    pairs = sum(len(chain) * len(found) for chain, found in others.items()) // 2
    crowded = max(0, sum(_crowded(size, problem.groups) for size in problem.sizes) - held)
    short = list(_short(problem, others))
    return max(
        0,
        problem.rounds * a_round - pairs,
        (problem.rounds - 1) * crowded,
        -(-sum(short) // 2),  # a meeting is one of two chains
        *short,
    )


def possible(problem: Problem) -> dict[Chain, Chain]:
    """For every chain, or child alone, whom it can meet: none in a chain that it is to be apart from or that would not
    fit into a group with it.
    """
    of = {child: frozenset({child}) for child in problem.ids}
    of |= {child: chain for chain in problem.chains for child in chain}
    apart = {frozenset({of[one], of[other]}) for one, other in problem.pairs(problem.apart)}

    def meet(one: Chain, other: Chain) -> bool:
        return one != other and len(one) + len(other) <= problem.sizes[0] and frozenset({one, other}) not in apart

    chains = sorted(set(of.values()), key=sorted)
    return {one: frozenset().union(*(other for other in chains if meet(one, other))) for one in chains}


def _short(problem: Problem, others: dict[Chain, Chain]) -> Iterator[int]:
    """For every chain how many of its children's meetings are repeated: it has too few others to meet, or too few of a
    kind of which it may not have the only one.
    """
    kinds = [problem.of_kind(kind) for kind in problem.not_alone]
    for chain, found in others.items():
        places = problem.rounds * max(0, problem.sizes[-1] - len(chain)) - len(found)
        alone = (problem.rounds - len(found & kind) for kind in kinds if len(chain & kind) == 1)
        yield len(chain) * max(0, places, *alone)


def _crowded(size: int, groups: int) -> int:
    """Pairs that must fall into one group again when `size` children are dealt to so many groups."""
    each, over = divmod(size, groups)
    return over * (each + 1) * each // 2 + (groups - over) * each * (each - 1) // 2
