"""The tables' games put on the pitches there are, slot by slot."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence

from clubapp.engine import designs
from clubapp.engine.league_problem import Fixture, Kind, Problem

TRIES = 40
Game = tuple[tuple[str, ...], tuple[str, ...]]
Slots = list[list[Game]]


def rounds(problem: Problem) -> list[list[Game]]:
    """The published table with the sides' ids; who would play nobody rests."""
    name = dict(enumerate(problem.sides, start=1))
    if problem.kind is Kind.PAIRS:
        table = designs.whist(len(name))
        return [[(_ids(name, one), _ids(name, two)) for one, two in turn] for turn in table]
    single: list[list[Game]] = [
        [((name[a],), (name[b],)) for a, b in turn if a in name and b in name] for turn in designs.berger(len(name))
    ]
    if not problem.again:
        return single
    # The last two rounds change places before everything is mirrored, so that nobody has one side three times running.
    once = [*single[:-2], *reversed(single[-2:])]
    return [*once, *([(two, one) for one, two in turn] for turn in once)]


def _ids(name: dict[int, str], side: tuple[int, int]) -> tuple[str, ...]:
    return tuple(name[number] for number in side)


def in_slots(problem: Problem, seed: int) -> Slots:
    """Round after round: all games of a round begin before any of the next but one, so that whoever stops early has
    played as often as the others, give or take one. Rests are spread by trying orders within the rounds.
    """
    lot = random.Random(f"league {seed}")
    table = rounds(problem)
    ways = [_packed(problem, table, lot) for _ in range(TRIES if problem.pitches < len(table[0]) else 1)]
    best = min(ways, key=lambda slots: cost(problem, slots))
    return best if problem.slots is None else best[: problem.slots]


def _packed(problem: Problem, table: Sequence[Sequence[Game]], lot: random.Random) -> Slots:
    """One try: whoever has rested longest plays first; a slot that is not full takes games of the next round."""
    waiting = [list(turn) for turn in table]
    slots: Slots = []
    last = dict.fromkeys(problem.sides, -1)
    while any(waiting):
        here = next(at for at, turn in enumerate(waiting) if turn)
        slot: Slots = [[]]
        for turn in waiting[here : here + 2]:
            _fill(slot[0], turn, problem.pitches, {game: (_rested(game, last), lot.random()) for game in turn})
        slots.append(slot[0])
        last |= {side: len(slots) for game in slot[0] for side in (*game[0], *game[1])}
    return slots


def _fill(slot: list[Game], turn: list[Game], pitches: int, rank: dict[Game, tuple[int, float]]) -> None:
    """Games of a round whose sides are free, taken out of it until the pitches are full."""
    for game in sorted(turn, key=lambda game: rank[game]):
        busy = {side for other in slot for side in (*other[0], *other[1])}
        if len(slot) < pitches and not busy & {*game[0], *game[1]}:
            slot.append(game)
            turn.remove(game)


def _rested(game: Game, last: dict[str, int]) -> int:
    """Smallest for sides who have waited longest."""
    return sum(last[side] for side in (*game[0], *game[1]))


def cost(problem: Problem, slots: Sequence[Sequence[Game]]) -> tuple[int, int, int]:
    """Slots, then the longest anybody waits, then how far numbers of games are apart on the way; smaller is better."""
    played, waits, longest, apart = Counter(dict.fromkeys(problem.sides, 0)), Counter[str](), 0, 0
    for slot in slots:
        busy = {side for game in slot for side in (*game[0], *game[1])}
        played.update(busy)
        waits = Counter({side: 0 if side in busy else waits[side] + 1 for side in problem.sides})
        longest = max(longest, *waits.values())
        apart = max(apart, max(played.values()) - min(played.values()))
    return len(slots), longest, apart


def refereed(problem: Problem, slots: Sequence[Sequence[Game]]) -> tuple[tuple[Fixture, ...], ...]:
    """A referee for each game from those who rest: whoever has done so least, then in the order of the sides."""
    done = Counter(dict.fromkeys(problem.sides, 0))
    made = []
    for slot in slots:
        busy = {side for game in slot for side in (*game[0], *game[1])}
        free = sorted((side for side in problem.sides if side not in busy), key=lambda side: done[side])
        chosen: list[str | None] = [*free[: len(slot)], *[None] * (len(slot) - len(free))]
        done.update(side for side in chosen if side)
        games = zip(slot, chosen, strict=True)
        made.append(tuple(Fixture(at, one, two, who) for at, ((one, two), who) in enumerate(games, start=1)))
    return tuple(made)
