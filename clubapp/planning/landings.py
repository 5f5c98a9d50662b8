"""What a session loads a child with, in words: only what is near or over a published range, and what is not counted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _

from clubapp.engine.load import Load, Note, Span
from clubapp.people.models import Athlete
from clubapp.planning import catalogue, queries
from clubapp.planning.expected import Expected, expected_at, load_of, notes_for
from clubapp.planning.library.card import Card
from clubapp.planning.models import Block, Session

NAMED = 4  # children named in a note before "and others"
OF_CARDS = (Block.Kind.WARM_UP, Block.Kind.GAME, Block.Kind.COOL_DOWN)  # parts in which children move


@dataclass(frozen=True)
class Landings:
    """notes: sentences, and whether it is over. uncounted: what has no card."""

    notes: tuple[tuple[str, bool], ...]
    uncounted: tuple[str, ...]


def landings_of(session: Session) -> Landings:
    """Of the session as it stands, whoever made it."""
    cards = {one.code: one.card for one in catalogue.of_club(session.club)}
    planned = load_of(session, cards)
    notes = sentences(expected_at(session), planned, session) if planned.contacts else ()
    return Landings(tuple(notes), tuple(_uncounted(session, cards)))


def _uncounted(session: Session, cards: dict[str, Card]) -> Iterator[str]:
    for station in queries.stations(session):
        if station.activity not in cards:
            yield _("station %(n)d") % {"n": station.number}
    for block in queries.blocks(session):
        if block.kind in OF_CARDS and block.activity not in cards:
            yield str(block.get_kind_display())


def sentences(expected: Expected, planned: Load, session: Session) -> Iterable[tuple[str, bool]]:
    """Nothing where nothing is near."""
    for note, children in notes_for(expected, planned, session.date):
        yield _words(note, children), note.over


def _words(note: Note, children: list[Athlete]) -> str:
    span = {
        Span.SESSION: _("in this session"),
        Span.CLOSE: _("in this session and those less than two days before it"),
        Span.WEEK: _("in seven days"),
    }[note.span]
    names = ", ".join(child.first_name for child in children[:NAMED])
    names = _("%(names)s and others") % {"names": names} if len(children) > NAMED else names
    sentence = _("%(n)d landings %(span)s, %(kind)s (%(low)d to %(high)d): %(names)s.")
    kind = _("over the range") if note.over else _("within the range")
    about = {"n": note.load.contacts, "span": span, "kind": kind, "low": note.low, "high": note.high, "names": names}
    beside = _("Besides: %(sprints)d sprints, %(metres)d m, %(hard)d min of hard work; no published range for these.")
    more = {"sprints": note.load.sprints, "metres": note.load.metres, "hard": round(note.load.hard_s / 60)}
    return f"{sentence % about} {beside % more}"
