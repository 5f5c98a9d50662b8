"""Why each part of a menu is what it is: a code, the figures it speaks of, and plain words."""

from __future__ import annotations

from collections.abc import Iterator

from clubapp.engine.menu_problem import EASY, HARD, STEADY, Answer, Card, Problem, Role
from clubapp.engine.menu_rules import chosen
from clubapp.engine.outcome import Reason

HEATS = {EASY: "easy", STEADY: "steady", HARD: "hard"}


def why(problem: Problem, answer: Answer, place: int) -> tuple[Reason, ...]:
    """The weightiest first. about: aims of "alone" and "about"; the intensity's name of "heat", "alike", "peak" and
    "rest"; of "copies" how many, fewest and most children; of "lanes" the same; of "young" the highest age.
    """
    card, role = chosen(problem, answer)[place], problem.parts[place]
    return (
        *_wanted(problem, place, card),
        *_aims(problem, answer, place),
        _heat(problem, answer, place),
        *_last(role),
        *_standing(problem, role, card),
        *_again(problem, card),
    )


def _wanted(problem: Problem, place: int, card: Card) -> Iterator[Reason]:
    if problem.locks.get(place) == card.id:
        yield Reason("kept", "You kept it.")
    if card.starred:
        yield Reason("starred", "Starred by your club.")


def _aims(problem: Problem, answer: Answer, place: int) -> Iterator[Reason]:
    card = chosen(problem, answer)[place]
    asked = tuple(aim for aim in problem.aims if aim in card.aims)
    if problem.parts[place] is not Role.STATION or not problem.aims:
        return
    others = [problem.by_id[answer.cards[at]] for at in problem.rounds if at != place]
    alone = tuple(aim for aim in asked if not any(aim in other.aims for other in others))
    if alone:
        yield Reason("alone", f"The only station about {_and(problem, alone)}.", alone)
    elif asked:
        yield Reason("about", f"About {_and(problem, asked)}.", asked)
    else:
        yield Reason("off", "About none of the aims: no other fits beside the rest.")


def _and(problem: Problem, aims: tuple[str, ...]) -> str:
    return " and ".join(problem.aim(aim) for aim in aims)


def _heat(problem: Problem, answer: Answer, place: int) -> Reason:
    cards = chosen(problem, answer)
    at, heat, name = list(problem.rounds), cards[place].heat, HEATS[cards[place].heat]
    near = {cards[at[index % len(at)]].heat for index in (place - 2, place)}
    if problem.parts[place] is not Role.STATION or len(at) < 2:
        return Reason("heat", f"Intensity: {name}.", (name,))
    if near == {heat}:
        return Reason("alike", f"{name.capitalize()}, like what is done before and after.", (name,))
    if heat > max(near):
        return Reason("peak", f"{name.capitalize()}, between easier ones.", (name,))
    if heat < min(near):
        return Reason("rest", f"{name.capitalize()}: a rest between harder ones.", (name,))
    return Reason("heat", f"Intensity: {name}.", (name,))


def _last(role: Role) -> Iterator[Reason]:
    if role is Role.GAME:
        yield Reason("last", "A game for everybody at the end.")


def _standing(problem: Problem, role: Role, card: Card) -> Iterator[Reason]:
    copies, least, most = problem.sizes(card, role)
    lanes, size = card.lanes_for(most), f"{least}" if least == most else f"{least} or {most}"
    if copies > 1:
        text = f"Set up {copies} times, for {size} children each."
        yield Reason("copies", text, (f"{copies}", f"{least}", f"{most}"))
    elif lanes > 1:
        yield Reason("lanes", f"{size} children in {lanes} lanes.", (f"{lanes}", f"{least}", f"{most}"))


def _again(problem: Problem, card: Card) -> Iterator[Reason]:
    if card.recent:
        yield Reason("recent", "Played in the last two weeks.")
    if problem.oldest > card.ages[1]:
        text = f"Meant for children up to {card.ages[1]}: see that the oldest have the harder form."
        yield Reason("young", text, (f"{card.ages[1]}",))
