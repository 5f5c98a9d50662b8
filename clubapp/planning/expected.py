"""Who usually comes, what they did in the last days, and what of it is near a published range."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from clubapp.core.registry import registry
from clubapp.engine import load as engine_load
from clubapp.engine.load import Load, Note
from clubapp.engine.words import completed_years
from clubapp.people.models import Athlete
from clubapp.people.queries import roster
from clubapp.planning import catalogue, queries
from clubapp.planning.library.card import Card, Level
from clubapp.planning.library.waiting import turns_in
from clubapp.planning.models import Block, Session

LOOKED_AT = 6  # of the squad's last sessions
TWO_WEEKS = timedelta(days=14)
ON_THE_WAY_MIN = 1  # of a turn, for the change-over


@dataclass(frozen=True)
class Expected:
    """children: those of today who came to half of the squad's last sessions or more; all where nobody was marked.

    before: per child, earlier sessions of any squad within a week, with what a child did there.
    """

    children: tuple[Athlete, ...]
    squad: int
    looked_at: int
    before: Mapping[UUID, Sequence[tuple[date, Load]]]

    def age(self, child: Athlete, on: date) -> int | None:
        return None if child.born is None else max(0, completed_years(child.born, on))

    def ages(self, on: date) -> list[int]:
        return [age for child in self.children if (age := self.age(child, on)) is not None]


def expected_at(session: Session) -> Expected:
    squad = list(roster(session.club, squad=session.squad))
    last = _marked(list(queries.played_before(session)[:LOOKED_AT]))
    came = [sum(child.pk in ids for ids in last.values()) for child in squad]
    usual = [child for child, times in zip(squad, came, strict=True) if last and 2 * times >= len(last)]
    children = tuple(usual or squad)
    return Expected(children, len(squad), len(last), _before(session, children))


def _marked(sessions: Sequence[Session]) -> dict[UUID, frozenset[UUID]]:
    return registry.who_came([session.pk for session in sessions])


def _before(session: Session, children: Sequence[Athlete]) -> dict[UUID, list[tuple[date, Load]]]:
    """A child may have been with another squad of the club too."""
    rows = queries.club_played(session, engine_load.WEEK)
    cards = {one.code: one.card for one in catalogue.of_club(session.club)}
    loads = {row.pk: (row.date, load_of(row, cards)) for row in rows}
    came = _marked(rows)
    return {child.pk: [loads[pk] for pk, ids in came.items() if child.pk in ids] for child in children}


def load_of(session: Session, cards: Mapping[str, Card]) -> Load:
    """What one child does in a session, as far as it was planned with cards."""
    stations = [cards[one.activity] for one in queries.stations(session) if one.activity in cards]
    blocks = [block for block in queries.blocks(session) if block.activity in cards]
    turn = queries.rotation_minutes(session) // max(1, len(stations)) - ON_THE_WAY_MIN
    wholes = [of_card(cards[block.activity], block.seconds // 60) for block in blocks]
    has_rotation = queries.blocks(session).filter(kind=Block.Kind.ROTATION).exists()
    return engine_load.total([*wholes, *(of_card(card, turn) for card in stations if has_rotation)])


def of_card(card: Card, minutes: int) -> Load:
    """Of one child: as many turns as the shortest queue allows, so rather too much than too little."""
    hard = card.work_s if card.level is Level.HARD else 0
    return Load(card.sprints, card.metres, card.contacts, hard).times(turns_in(card, card.queue[0], max(0, minutes)))


def notes_for(expected: Expected, planned: Load, on: date) -> list[tuple[Note, list[Athlete]]]:
    """What is near or over a range, with the children it is so for, a range once."""
    found: dict[tuple[str, bool, bool], tuple[Note, list[Athlete]]] = {}
    for child in expected.children:
        for note in engine_load.notes(expected.age(child, on), planned, on, expected.before.get(child.pk, ())):
            worst = found.setdefault((note.span, note.over, note.halved), (note, []))
            worst[1].append(child)
            if note.load.contacts > worst[0].load.contacts:
                found[note.span, note.over, note.halved] = (note, worst[1])
    return list(found.values())


def most_contacts(expected: Expected, on: date) -> int:
    """So many landings a suggestion may bring: with it nobody who usually comes gets over a range."""
    ages = [expected.age(child, on) for child in expected.children]
    rows = zip(ages, (expected.before.get(child.pk, ()) for child in expected.children), strict=True)
    return min((engine_load.most_contacts(age, on, before) for age, before in rows), default=engine_load.UNDER_TENS[1])
