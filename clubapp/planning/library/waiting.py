"""How long children wait in a lane: k children, one sent every s seconds and busy for w, so each rests k·s − w."""

from __future__ import annotations

from dataclasses import dataclass

from clubapp.planning.library.card import Card


@dataclass(frozen=True)
class Wait:
    """In one lane of that many children. enough: of the rest its card asks for; every_s: the quickest start to start
    that still gives it.
    """

    children: int
    work_s: int
    wait_s: int
    enough: bool
    every_s: int


def wait_in(card: Card, children: int) -> Wait:
    """At the card's own pace; several who work at once are sent as one."""
    sent = -(-children // card.at_once)
    rest = sent * card.every_s - card.work_s
    quickest = max(card.work_s, -(-card.work_s * (1 + card.rest) // sent))
    return Wait(children, card.work_s, rest, rest >= card.rest * card.work_s, quickest)


def waits(card: Card) -> list[Wait]:
    """For every number of children a lane may hold."""
    return [wait_in(card, children) for children in range(card.queue[0], card.queue[1] + 1)]


def turns_in(card: Card, children: int, minutes: int) -> int:
    """Turns each of them has in that time, never more than the card allows."""
    sent = -(-children // card.at_once)
    return min(card.turns, minutes * 60 // (sent * card.every_s))
