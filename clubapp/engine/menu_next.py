"""What could stand in the place of one part, everything else as it is."""

from __future__ import annotations

from dataclasses import dataclass, replace

from clubapp.engine.menu_cost import score
from clubapp.engine.menu_problem import Answer, Card, Problem, Role
from clubapp.engine.menu_rules import violations


@dataclass(frozen=True)
class Choice:
    """A menu with another card in one part, and what it costs as a whole."""

    card: str
    answer: Answer
    score: float


def choices(problem: Problem, answer: Answer, place: int) -> tuple[Choice, ...]:
    """Every menu that keeps the rules and differs from this one in the part alone, the best first, this one included.

    A lock on the part itself does not count: whoever asks wants another.
    """
    free = replace(problem, locks={at: card for at, card in problem.locks.items() if at != place})
    found = []
    for card in free.able(place):
        other = _with(free, answer, place, card.id)
        if not violations(free, other):
            found.append(Choice(card.id, other, score(free, other)))
    return tuple(sorted(found, key=lambda one: (one.score, one.card)))


def _with(problem: Problem, answer: Answer, place: int, card: str) -> Answer:
    """Minutes stay, or come as near as the new card allows."""
    cards = (*answer.cards[:place], card, *answer.cards[place + 1 :])
    minutes = list(answer.minutes)
    if place in problem.wholes:
        at = problem.wholes.index(place)
        least, _usual, most = problem.by_id[card].minutes
        minutes[at] = min(most, max(least, minutes[at]))
    return Answer(cards, tuple(minutes))


def next_best(problem: Problem, answer: Answer, place: int) -> Answer | None:
    """The best after the one that stands, the best of all after the last; None where nothing else fits."""
    order = choices(problem, answer, place)
    now = answer.cards[place]
    at = next((index for index, one in enumerate(order) if one.card == now), -1)
    others = [*order[at + 1 :], *order[: max(at, 0)]]
    return others[0].answer if others else None


def instead(problem: Problem, gone: Card, taken: frozenset[str]) -> tuple[Card, ...]:
    """Cards that could stand at a station in the place of one that has to go, the nearest to it first.

    Its first aim counts most, then a star, another of its aims, its intensity, and little ground. gone: need not be
    one of the problem's. taken: ids of what stands already. kit of the problem: what the other stations leave.
    """
    free = [card for card in problem.able(problem.rounds[0]) if card.id not in taken and _brings(problem, card)]
    return tuple(sorted(free, key=lambda card: (*_far(gone, card), card.wide_m * card.long_m, card.id)))


def _brings(problem: Problem, card: Card) -> bool:
    """Kit enough, and nothing of the last two weeks."""
    kit = problem.set_up(card, Role.STATION).kit
    enough = problem.kit is None or all(number <= problem.kit.get(kind, 0) for kind, number in kit.items())
    return enough and (problem.repeats or not card.recent)


def _far(gone: Card, card: Card) -> tuple[bool, bool, bool, int]:
    shared = set(gone.aims) & set(card.aims)
    return gone.aims[0] != card.aims[0], not card.starred, not shared, abs(gone.heat - card.heat)
