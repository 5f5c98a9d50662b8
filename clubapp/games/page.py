"""What one adult may see of a session's games; whatever this adult may not know is not put together at all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from clubapp.core.tell import version_of
from clubapp.games import access, queries
from clubapp.games.kinds import ALL, known_kind
from clubapp.games.models import Game
from clubapp.games.present import WATCHING, Present, present_of
from clubapp.games.state import GameView, Kind, Viewer
from clubapp.people.access import Person
from clubapp.planning.models import Session
from clubapp.register.models import Mark


@dataclass(frozen=True)
class Row:
    """A child who could be in a game. left_out: what a child who goes easy leaves out, in words."""

    id: UUID
    name: str
    left_out: str = ""
    watches: bool = False
    ticked: bool = True


@dataclass(frozen=True)
class ListedGame:
    game: Game
    kind: Kind
    children: int


@dataclass(frozen=True)
class List:
    """The games of a session and what could be played."""

    session: Session
    games: list[ListedGame]
    kinds: tuple[Kind, ...]
    here: int
    leads: bool


@dataclass(frozen=True)
class Page:
    """One game. shown: what its kind's template needs. late: who is here and not in it."""

    session: Session
    game: Game
    kind: Kind
    view: GameView
    viewer: Viewer
    shown: dict[str, Any]
    late: list[Row]
    gone: list[str]
    members: list[tuple[UUID, str]]
    version: int

    @property
    def leads(self) -> bool:
        return self.viewer.leads

    @property
    def has_order(self) -> bool:
        """A template that named the kind's own function would call it."""
        return self.viewer.ranks and self.kind.standing is not None

    @property
    def can_leave(self) -> bool:
        return self.kind.out is not None

    @property
    def seen(self) -> str:
        """What a page shows of the game: another draw, another entry or another state, and it is out of date."""
        return f"{self.view.draw.version}.{len(self.view.said)}.{self.game.state}"

    @property
    def open(self) -> bool:
        return self.game.state in (Game.State.READY, Game.State.RUNNING)


def list_of(user: Person, session: Session) -> List:
    rows = [
        ListedGame(game, known_kind(game.kind), len(queries.view_of(game).children))
        for game in queries.games_of(session.pk)
    ]
    here = len(present_of(session).children)
    return List(session, rows, ALL, here, access.may_make(user, session))


def viewer_of(user: Person, session: Session) -> Viewer:
    leads, ranks = access.may_make(user, session), access.may_rank(user, session)
    return Viewer(leads, ranks, user.pk if user.is_authenticated else None)


def page_of(user: Person, game: Game) -> Page:
    view, kind = queries.view_of(game), known_kind(game.kind)
    present, viewer = present_of(game.session, view.children), viewer_of(user, game.session)
    here = set(present.ids)
    gone = [child for child in view.draw.children if child not in here]
    return Page(
        session=game.session,
        game=game,
        kind=kind,
        view=view,
        viewer=viewer,
        shown=kind.show(view, present, viewer),
        late=[row for row in rows_of(present) if row.id not in view.children],
        gone=sorted((present.name(child) for child in gone), key=str.casefold),
        members=sorted(
            ((child, present.name(child)) for child in view.draw.children), key=lambda row: row[1].casefold()
        ),
        version=version_of(game.session_id),
    )


def usual(kind: Kind, present: Present) -> dict[str, Any]:
    """What the squad asked for last time; numbers that go with how many play only if about as many are here again."""
    made_for = kind.defaults(present)
    asked, before = queries.last_asked(present.session, kind.code)
    if 4 * abs(len(present.unasked) - before) > before:
        asked = {name: wish for name, wish in asked.items() if name not in kind.counted}
    return {**made_for, **asked}


def rows_of(present: Present, ticked: frozenset[UUID] | None = None) -> list[Row]:
    """Everybody who is here. ticked: who an adult has in; None: who is in without anybody saying so."""
    words = dict(Mark.LeaveOut.choices)
    chosen = frozenset(present.unasked) if ticked is None else ticked
    return [
        Row(
            child,
            present.name(child),
            ", ".join(str(words.get(left, left)) for left in present.easy.get(child, ())),
            WATCHING in present.easy.get(child, ()),
            child in chosen,
        )
        for child in present.ids
    ]
