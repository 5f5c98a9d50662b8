"""What could stand in the place of one part, everything else as it is."""

from __future__ import annotations

from dataclasses import dataclass, replace

from clubapp.engine.menu_cost import score
from clubapp.engine.menu_problem import Answer, Problem
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
