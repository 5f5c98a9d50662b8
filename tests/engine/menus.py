"""Menus to solve: an invented shelf of cards, and tiny problems that can be looked through as a whole."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import permutations, product
from typing import Any

from clubapp.engine.menu import Answer, Card, Ground, Problem, Role, score, violations

W, S, G, C = Role.WARM_UP, Role.STATION, Role.GAME, Role.COOL_DOWN
EVERY = frozenset(Role)


def card(name: str, *roles: Role, aims: tuple[str, ...] = ("run",), **more: Any) -> Card:
    return Card(name, name.capitalize(), frozenset(roles) or EVERY, aims, **more)


def evening(**changes: Any) -> Problem:
    """Eight children at two stations, two aims, and enough of everything."""
    cards = (
        card("amble", W, C, heat=1, minutes=(3, 5, 8)),
        card("bound", S, heat=3, aims=("jump",), contacts=12, kit={"hoops": 4}),
        card("creep", S, heat=1, aims=("run",), kit={"cones": 2}, lanes=2, queue=(2, 3)),
        card("dash", S, heat=3, aims=("run",), kit={"cones": 4}),
        card("eddy", G, heat=2, aims=("chase",), minutes=(4, 8, 10)),
        card("float", W, C, heat=1, minutes=(3, 4, 6)),
        card("glide", S, heat=2, aims=("jump", "run"), kit_shared={"mats": 1}),
    )
    plain: dict[str, Any] = {"cards": cards, "aims": ("run", "jump"), "children": 8, "youngest": 7, "oldest": 14}
    plain |= {"minutes": 40, "stations": 2, "adults": 2, "ground": Ground(20, 10)}
    return Problem(**plain | {"kit": {"cones": 8, "hoops": 4, "mats": 1}} | changes)


def with_card(problem: Problem, name: str, **changes: Any) -> Problem:
    """The same with one card changed."""
    cards = tuple(replace(one, **changes) if one.id == name else one for one in problem.cards)
    return replace(problem, cards=cards)


def tiny(seed: int, game: bool = False) -> Problem:
    """Six cards by lot, two stations or three, short of something now and then."""
    lot = random.Random(f"menu {seed}")
    cards = tuple(_by_lot(lot, f"card{at}") for at in range(6))
    stations = 2 if game else lot.choice((2, 2, 3))
    locks = {lot.randrange(stations + 2): lot.choice(cards).id} if lot.random() < 0.3 else {}
    return Problem(
        cards, ("run", "jump")[: lot.randint(1, 2)], children=lot.randint(4, 9), youngest=lot.choice((6, 8)), oldest=13,
        minutes=lot.choice((18, 24, 40)), stations=stations, adults=lot.choice((2, 3, 6)),
        ground=lot.choice((None, Ground(12, 9), Ground(20, 20))), kit=lot.choice((None, {"cones": 6, "balls": 3})),
        game=game, repeats=lot.random() < 0.3, locks=locks, shown=frozenset({"card1"}),
        most_contacts=lot.choice((None, 20)),
    )  # fmt: skip


def _by_lot(lot: random.Random, name: str) -> Card:
    least = lot.randint(2, 3)
    aims = lot.choice((("run",), ("jump",), ("jump", "run"), ("ball",)))
    roles = {S, *lot.sample(sorted(EVERY), 2)}
    return Card(
        name, name, frozenset(roles), aims, heat=lot.randint(1, 3), ages=(lot.choice((5, 5, 7)), lot.choice((12, 18))),
        children=(1, lot.choice((3, 6, 9))), minutes=(least, least + lot.randint(0, 1), least + 1),
        lanes=lot.randint(1, 2), queue=(1, 9), kit={"cones": lot.randint(0, 3)},
        kit_shared={"balls": lot.randint(0, 2)}, wide_m=lot.choice((4.0, 9.0)), long_m=lot.choice((5.0, 11.0)),
        adults=lot.randint(0, 1), contacts=lot.choice((0, 12)), starred=lot.random() < 0.3, recent=lot.random() < 0.2,
    )  # fmt: skip


def every(problem: Problem) -> Iterator[Answer]:
    """All menus that keep the rules, found by trying everything."""
    able = [{one.id for one in problem.able(place)} for place in range(len(problem.parts))]
    for cards in permutations([one.id for one in problem.cards], len(problem.parts)):
        if not all(one in at for one, at in zip(cards, able, strict=True)):
            continue
        spans = [problem.by_id[cards[place]].minutes for place in problem.wholes]
        for minutes in product(*(range(least, most + 1) for least, _usual, most in spans)):
            answer = Answer(cards, minutes)
            if not violations(problem, answer):
                yield answer


def cheapest(problem: Problem) -> float | None:
    return min((score(problem, answer) for answer in every(problem)), default=None)
