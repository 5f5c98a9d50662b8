"""The plain way: part by part the first card that fits beside what is chosen already, starred ones and aims in turn."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from clubapp.engine.menu_problem import Answer, Card, Problem, Role
from clubapp.engine.menu_rules import violations


def plain(problem: Problem) -> Answer | None:
    """A menu that keeps every rule; None where the plain way ends in a corner. Looks at no intensity."""
    taken: dict[int, Card] = {place: problem.by_id[card] for place, card in problem.locks.items()}
    for place in _hardest_first(problem):
        if place in taken:
            continue
        free = (card for card in _in_turn(problem, place) if card not in taken.values())
        found = next((card for card in free if _goes(problem, taken, place, card)), None)
        if found is None:
            return None
        taken[place] = found
    answer = _timed(problem, tuple(taken[place].id for place in range(len(problem.parts))))
    return None if violations(problem, answer) else answer


def _hardest_first(problem: Problem) -> list[int]:
    """The parts that few cards can be come first."""
    return sorted(range(len(problem.parts)), key=lambda place: (len(problem.able(place)), place))


def _in_turn(problem: Problem, place: int) -> list[Card]:
    """Starred first, then this station's aim."""
    station = problem.parts[place] is Role.STATION and problem.aims
    aim = problem.aims[(place - 1) % len(problem.aims)] if station else None
    return sorted(problem.able(place), key=lambda card: (aim not in (None, *card.aims), not card.starred, card.name))


def _goes(problem: Problem, taken: dict[int, Card], place: int, card: Card) -> bool:
    """Whether kit, ground, adults and contacts still hold with one more card, and it was not played lately."""
    now = {**taken, place: card}
    most = problem.most_contacts
    if (card.recent and not problem.repeats) or (most is not None and sum(c.contacts for c in now.values()) > most):
        return False
    role = problem.parts[place]
    beside = [at for at in now if problem.parts[at] is role] if role is Role.STATION else [place]
    stands = [problem.set_up(now[at], role) for at in beside]
    kit = sum((Counter(one.kit) for one in stands), Counter())
    return (
        sum(one.adults for one in stands) <= problem.adults
        and (problem.ground is None or sum(one.area_m2 for one in stands) <= problem.ground.usable_m2)
        and (problem.kit is None or all(number <= problem.kit.get(kind, 0) for kind, number in kit.items()))
    )


def _timed(problem: Problem, cards: tuple[str, ...]) -> Answer:
    """Usual minutes; where turns get too short, the longest of the other parts gives a minute after the other."""
    answer = Answer(cards, tuple(problem.by_id[cards[place]].minutes[1] for place in problem.wholes))
    least = [problem.by_id[cards[place]].minutes[0] for place in problem.wholes]
    while violations(problem, answer) and any(a > b for a, b in zip(answer.minutes, least, strict=True)):
        over = [a - b for a, b in zip(answer.minutes, least, strict=True)]
        longest = over.index(max(over))
        shorter = tuple(minutes - (at == longest) for at, minutes in enumerate(answer.minutes))
        answer = replace(answer, minutes=shorter)
    return answer
