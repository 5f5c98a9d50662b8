"""Why a problem has no answer: a smallest set of rules that cannot be kept together.

The rules are whatever the topic calls rules; it brings a test that says whether a set of them clashes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

Clashes = Callable[[frozenset[int]], bool]

TESTS = 60  # how many more tests a smaller clash may cost


def smallest_clash(
    core: Sequence[int], clashes: Clashes, rules: Sequence[int] = (), tests: int = TESTS
) -> tuple[int, ...]:
    """Clashing rules, every one of them needed: without any one of them the others can be kept; and as few as can be.

    core: positions of rules that clash together, the least wanted last: those are given up first.
    clashes: whether the rules at these positions, with all the others left out, cannot be kept.
    rules: all that may be blamed, where a smaller clash could lie outside the core.
    tests: how many the search for fewer may cost. If they are used up, the first set that cannot be shrunk stands: it
        is irreducible, and there may be one of fewer rules. Otherwise no clash has fewer.
    First a deletion filter (Chinneck and Dravnieks 1991), one test a rule: a rule found needed stays needed.
    Then implicit hitting sets (Ignatiev, Previti, Liffiton and Marques-Silva 2015): each set of rules that can be kept
    and not be added to shows that any clash has one of those left out; the fewest rules that hit all of these clash, or
    show another.
    """
    known = _irreducible(core, clashes)
    search = _Fewer(tuple(dict.fromkeys((*core, *rules))), clashes, tests)
    return tuple(sorted(search.than(known)))


def _irreducible(core: Sequence[int], clashes: Clashes) -> list[int]:
    needed = list(core)
    for rule in reversed(core):
        if clashes(frozenset(needed) - {rule}):
            needed.remove(rule)
    return needed


class _SpentError(Exception):
    """No test is left."""


class _Fewer:
    """The search for a clash of fewer rules than one that is known."""

    def __init__(self, rules: tuple[int, ...], clashes: Clashes, tests: int) -> None:
        self.rules, self._clashes, self._left = rules, clashes, tests
        self.blamed: list[frozenset[int]] = []  # any clash has at least one rule of each

    def clash(self, kept: Iterable[int]) -> bool:
        if not self._left:
            raise _SpentError
        self._left -= 1
        return self._clashes(frozenset(kept))

    def than(self, known: list[int]) -> list[int]:
        """A clash with the fewest rules; the known one where no other has fewer, or the tests are used up."""
        try:
            for rule in known:
                if not self.clash(set(self.rules) - {rule}):
                    self.blamed.append(frozenset({rule}))
            while (few := hitting(self.blamed, len(known) - 1)) is not None:
                if self.clash(few):
                    return sorted(few)
                self.blamed.append(self._left_out(few))
        except _SpentError:
            pass
        return known

    def _left_out(self, kept: frozenset[int]) -> frozenset[int]:
        """Rules that are over when to those kept all are added that can be kept besides."""
        for rule in self.rules:
            if rule not in kept and not self.clash(kept | {rule}):
                kept |= {rule}
        return frozenset(self.rules) - kept


def hitting(sets: Sequence[frozenset[int]], most: int) -> frozenset[int] | None:
    """The fewest numbers, at most so many, of which each of the sets has one; None where more are needed."""
    for size in range(most + 1):
        if (found := _hit(sets, frozenset(), size)) is not None:
            return found
    return None


def _hit(sets: Sequence[frozenset[int]], taken: frozenset[int], more: int) -> frozenset[int] | None:
    missed = [one for one in sets if not one & taken]
    if not missed:
        return taken
    if not more:
        return None
    shortest = min(missed, key=len)
    tried = (_hit(missed, taken | {number}, more - 1) for number in sorted(shortest))
    return next((found for found in tried if found is not None), None)
