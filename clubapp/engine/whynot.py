"""Why a problem has no answer: a smallest set of rules that cannot be kept together.

The rules are whatever the topic calls rules; it brings a test that says whether a set of them clashes.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

Clashes = Callable[[frozenset[int]], bool]


def smallest_clash(core: Sequence[int], clashes: Clashes) -> tuple[int, ...]:
    """Shrink clashing rules until every one of them is needed: without any one of those left the rest can be kept.

    core: positions of rules that clash together, the least wanted last: those are given up first.
    clashes: whether the rules at these positions, with all the others left out, cannot be kept.
    Deletion filter (Chinneck and Dravnieks, 1991): one test a rule; a later test never frees a rule found needed.
    """
    needed = list(core)
    for rule in reversed(core):
        rest = frozenset(needed) - {rule}
        if clashes(rest):
            needed = [position for position in needed if position != rule]
    return tuple(sorted(needed))
