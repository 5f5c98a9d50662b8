"""Why each part of a menu is what it is, in a coach's words."""

from __future__ import annotations

from collections.abc import Iterator

from clubapp.engine.menu_problem import EASY, HARD, STEADY, Answer, Card, Problem, Role
from clubapp.engine.menu_rules import chosen

HEATS = {EASY: "easy", STEADY: "steady", HARD: "hard"}


def why(problem: Problem, answer: Answer, place: int) -> tuple[str, ...]:
    """Short sentences, the weightiest first."""
    card, role = chosen(problem, answer)[place], problem.parts[place]
    return (
        *_wanted(problem, place, card),
        *_aims(problem, answer, place),
        *_heat(problem, answer, place),
        *_last(role),
        *_standing(problem, role, card),
        *_again(problem, card),
    )


def _wanted(problem: Problem, place: int, card: Card) -> Iterator[str]:
    if problem.locks.get(place) == card.id:
        yield "You kept it."
    if card.starred:
        yield "Starred by your club."


def _aims(problem: Problem, answer: Answer, place: int) -> Iterator[str]:
    card = chosen(problem, answer)[place]
    asked = [aim for aim in problem.aims if aim in card.aims]
    if problem.parts[place] is not Role.STATION or not problem.aims:
        return
    others = [problem.by_id[answer.cards[at]] for at in problem.rounds if at != place]
    alone = [aim for aim in asked if not any(aim in other.aims for other in others)]
    if alone:
        yield f"The only station about {_and(problem, alone)}."
    elif asked:
        yield f"About {_and(problem, asked)}."
    else:
        yield "About none of the aims: no other fits beside the rest."


def _and(problem: Problem, aims: list[str]) -> str:
    return " and ".join(problem.aim(aim) for aim in aims)


def _heat(problem: Problem, answer: Answer, place: int) -> Iterator[str]:
    cards = chosen(problem, answer)
    card, at = cards[place], list(problem.rounds)
    if problem.parts[place] is not Role.STATION or len(at) < 2:
        yield f"Intensity: {HEATS[card.heat]}."
        return
    near = {cards[at[index % len(at)]].heat for index in (place - 2, place)}
    if near == {card.heat}:
        yield f"{HEATS[card.heat].capitalize()}, like what is done before and after."
    elif card.heat > max(near):
        yield f"{HEATS[card.heat].capitalize()}, between easier ones."
    elif card.heat < min(near):
        yield f"{HEATS[card.heat].capitalize()}: a rest between harder ones."
    else:
        yield f"Intensity: {HEATS[card.heat]}."


def _last(role: Role) -> Iterator[str]:
    if role is Role.GAME:
        yield "A game for everybody at the end."


def _standing(problem: Problem, role: Role, card: Card) -> Iterator[str]:
    copies, least, most = problem.sizes(card, role)
    lanes, size = card.lanes_for(most), f"{least}" if least == most else f"{least} or {most}"
    if copies > 1:
        yield f"Set up {copies} times, for {size} children each."
    elif lanes > 1:
        yield f"{size} children in {lanes} lanes."


def _again(problem: Problem, card: Card) -> Iterator[str]:
    if card.recent:
        yield "Played in the last two weeks."
    if problem.oldest > card.ages[1]:
        yield f"Meant for children up to {card.ages[1]}: see that the oldest have the harder form."
