"""What a menu costs: 0 would be all the club's starred cards, work and rest in turn, aims evenly, minutes as usual."""

from __future__ import annotations

from collections.abc import Sequence

from clubapp.engine.menu_problem import HARD, Answer, Card, Problem, Role, work_s
from clubapp.engine.menu_rules import chosen

UNSTARRED = 40  # where a starred card could stand in such a part
BOTH_HARD = 30  # two neighbours in the ring of stations
ALIKE = 8  # two neighbours of one lower intensity
OFF_AIM, OFF_AIM_WHOLE = 30, 3  # about nothing that was asked; in a part that all do at once
UNEVEN = 10  # a station more for one aim than for another
DULL = 10  # for younger children than the oldest there
SHOWN = 5  # suggested just before
RISING = 2  # for each step by which stations get harder towards the end
HOT_GAME = 3  # for each step of intensity above easy in the game, for it stands near the end
ODD_MINUTE = 2  # longer or shorter than its usual minutes
STRETCH = 4  # a minute that turns are longer than a card lasts


def own(problem: Problem, role: Role, card: Card) -> int:
    """What a card costs in a part whatever else is chosen."""
    return (
        UNSTARRED * (not card.starred and star_counts(problem, role))
        + DULL * (problem.oldest > card.ages[1])
        + SHOWN * (card.id in problem.shown)
        + _off_aim(problem, role, card)
        + (HOT_GAME * (card.heat - 1) if role is Role.GAME else 0)
    )


def _off_aim(problem: Problem, role: Role, card: Card) -> int:
    asked = set(card.aims) & set(problem.aims)
    price = {Role.STATION: OFF_AIM, Role.GAME: 0}.get(role, OFF_AIM_WHOLE)
    return 0 if asked or not problem.aims else price


def star_counts(problem: Problem, role: Role) -> bool:
    """Whether any starred card can stand in such a part."""
    return any(card.starred and not problem.misfit(card, role) for card in problem.cards)


def score(problem: Problem, answer: Answer) -> float:
    """The whole cost, smaller is better."""
    cards = chosen(problem, answer)
    single = sum(own(problem, role, card) for role, card in zip(problem.parts, cards, strict=True))
    ring = [cards[place].heat for place in problem.rounds]
    return float(
        single
        + sum(_neighbours(one, two) for one, two in ring_pairs(ring))
        + RISING * max(0, slope(ring))
        + UNEVEN * _uneven(problem, cards)
        + ODD_MINUTE * _odd_minutes(problem, answer)
        + STRETCH * stretch(problem, answer)
    )


def ring_pairs(ring: Sequence[int]) -> list[tuple[int, int]]:
    """Stations one after the other, the first again after the last; two have one change-over between them."""
    return list(zip(ring, [*ring[1:], *ring[: len(ring) > 2]], strict=False))


def _neighbours(one: int, two: int) -> int:
    return 0 if one != two else BOTH_HARD if one == HARD else ALIKE


def slope(ring: Sequence[int]) -> int:
    """Above 0 where intensity rises from the first station to the last."""
    middle = len(ring) - 1
    return sum((2 * place - middle) * heat for place, heat in enumerate(ring))


def _uneven(problem: Problem, cards: Sequence[Card]) -> int:
    mains = [cards[place].aims[0] for place in problem.rounds]
    counts = [mains.count(aim) for aim in problem.aims]
    return max(counts) - min(counts) if counts else 0


def _odd_minutes(problem: Problem, answer: Answer) -> int:
    usual = [problem.by_id[answer.cards[place]].minutes[1] for place in problem.wholes]
    return sum(abs(minutes - one) for minutes, one in zip(answer.minutes, usual, strict=True))


def stretch(problem: Problem, answer: Answer) -> int:
    """Whole minutes by which a turn is longer than the shortest of the stations' cards lasts."""
    most = min(problem.by_id[answer.cards[place]].minutes[2] for place in problem.rounds)
    return max(0, -((60 * most * problem.stations - work_s(problem, answer)) // (60 * problem.stations)))
