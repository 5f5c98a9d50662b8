"""Invented squads with the rules of an ordinary evening, each from a seed."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import count

from clubapp.desk.bench.groups import ON, child
from clubapp.engine import groups as engine_groups
from clubapp.engine.limits import QUICK
from clubapp.engine.words import Athlete

TOGETHER, APART = 3, 4  # pairs
NOT_ALONE = ("first_timer:yes", "sex:f")


def squad(children: int, seed: int) -> tuple[Athlete, ...]:
    """From seven to fifteen; two in five are girls, one in eight is a first-timer."""
    lot = random.Random(seed)
    found = [child(number, lot) for number in range(children)]
    girls = set(lot.sample(range(children), 2 * children // 5))
    new = set(lot.sample(range(children), children // 8))
    return tuple(
        replace(
            one, kinds=frozenset({"sex:f" if at in girls else "sex:m", *({"first_timer:yes"} if at in new else ())})
        )
        for at, one in enumerate(found)
    )


def ruled(children: int, groups: int, seed: int) -> engine_groups.Problem:
    """Several pairs together, several apart, two kinds never alone; the first draw whose rules can all be kept."""
    return next(
        problem for problem in draws(children, groups, seed) if engine_groups.solve(problem, limit=QUICK).answer
    )


def draws(children: int, groups: int, seed: int) -> Iterator[engine_groups.Problem]:
    """Three first-timers who may be neither alone nor together cannot be placed: some draws are impossible."""
    return (drawn(children, groups, seed, number) for number in count())


def drawn(children: int, groups: int, seed: int, number: int) -> engine_groups.Problem:
    lot, athletes = random.Random(f"rules {seed} {number}"), squad(children, seed)
    paired = lot.sample([athlete.id for athlete in athletes], 2 * (TOGETHER + APART))
    pairs = [frozenset(paired[at : at + 2]) for at in range(0, len(paired), 2)]
    return engine_groups.Problem(
        athletes, ON, groups, together=tuple(pairs[:TOGETHER]), apart=tuple(pairs[TOGETHER:]), not_alone=NOT_ALONE
    )
