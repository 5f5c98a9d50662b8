"""Cards, ground and bag as the engine's problem, and its menu as what a session is made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from clubapp.core.diagram.reading import layout_of
from clubapp.engine import menu
from clubapp.planning import catalogue, queries
from clubapp.planning.catalogue import Listed
from clubapp.planning.expected import TWO_WEEKS
from clubapp.planning.library.card import Aim, Card, Level
from clubapp.planning.models import Block, Session

HEAT = {Level.EASY: menu.EASY, Level.STEADY: menu.STEADY, Level.HARD: menu.HARD}
SHORTEST_MIN, LONGER_MIN = 3, 2  # a card lasts from half its minutes to two more: common practice, no published source
GATHER_MIN, WATER_MIN = 3, 2


@dataclass(frozen=True)
class Ask:
    """What a coach picked. locks: place to code; shown: codes suggested just before; indoors: no soft ground."""

    aims: tuple[str, ...]
    children: int
    youngest: int
    oldest: int
    adults: int
    stations: int
    ground: tuple[float, float] | None = None
    repeats: bool = False
    most_contacts: int | None = None
    locks: Mapping[int, str] = field(default_factory=dict)
    shown: frozenset[str] = frozenset()
    indoors: bool = False


def problem_of(session: Session, ask: Ask) -> menu.Problem:
    recent = queries.played_codes(session, TWO_WEEKS)
    cards = tuple(card_of(one, one.code in recent) for one in _offered(session, ask))
    known = {card.id for card in cards}
    places = range(ask.stations + 3)
    return menu.Problem(
        cards=cards,
        aims=ask.aims,
        children=ask.children,
        youngest=ask.youngest,
        oldest=ask.oldest,
        minutes=session.minutes,
        stations=ask.stations,
        adults=ask.adults,
        ground=menu.Ground(*ask.ground) if ask.ground else None,
        kit=queries.kit_of(session.club) or None,
        gather_min=GATHER_MIN,
        water_min=WATER_MIN,
        repeats=ask.repeats,
        locks={place: code for place, code in ask.locks.items() if code in known and place in places},
        shown=ask.shown,
        most_contacts=ask.most_contacts,
        names={str(aim): catalogue.aim_word(aim) for aim in Aim},
    )


def _offered(session: Session, ask: Ask) -> list[Listed]:
    return [one for one in catalogue.offered(session.club) if not (ask.indoors and one.card.soft)]


def card_of(one: Listed, recent: bool) -> menu.Card:
    card, room = one.card, layout_of(one.card.diagram).room
    assert room  # the drawing of an activity has its ground
    (left, low), (right, high) = room.corners
    return menu.Card(
        id=one.code,
        name=card.name,
        roles=frozenset(_roles(card)),
        aims=tuple(map(str, card.aims)),
        heat=HEAT[card.level],
        ages=card.ages,
        children=card.children,
        minutes=(min(card.minutes, max(SHORTEST_MIN, card.minutes // 2)), card.minutes, card.minutes + LONGER_MIN),
        lanes=card.lanes,
        queue=card.queue,
        kit=card.kit,
        kit_shared=card.kit_shared,
        wide_m=float(right - left),
        long_m=float(high - low),
        adults=card.adults,
        contacts=card.contacts * card.turns,
        starred=one.starred,
        recent=recent,
    )


def _roles(card: Card) -> set[menu.Role]:
    """Nobody sprints, lands or is chased cold, and nobody does so last; a game is a chase or a race."""
    roles = {menu.Role.STATION}
    chases, gentle = Aim.CHASING in card.aims, not card.sprints and not card.contacts
    if chases:
        roles.add(menu.Role.GAME)
    if gentle and not chases and card.level is not Level.HARD:
        roles.add(menu.Role.WARM_UP)
    if gentle and not chases and card.level is Level.EASY:
        roles.add(menu.Role.COOL_DOWN)
    return roles


KINDS = {
    menu.Role.WARM_UP: Block.Kind.WARM_UP,
    menu.Role.GAME: Block.Kind.GAME,
    menu.Role.COOL_DOWN: Block.Kind.COOL_DOWN,
}
