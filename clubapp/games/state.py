"""A game as a value, and what a kind of game has to offer. Nothing here reads or writes a row."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from django.utils.functional import Promise

from clubapp.games.present import Present
from clubapp.people.models import Club


@dataclass(frozen=True)
class DrawView:
    """The newest draw of a round. Every problem names who is in it: problem["children"]."""

    round: int
    version: int
    problem: Mapping[str, Any]
    answer: Mapping[str, Any]
    proof: Mapping[str, Any]
    seed: int
    why: str

    @property
    def children(self) -> tuple[UUID, ...]:
        return tuple(UUID(child) for child in self.problem["children"])


@dataclass(frozen=True)
class Said:
    """One entry, as the field tapped it."""

    what: str
    round: int
    part: int
    data: Mapping[str, Any]
    by: UUID | None
    by_name: str
    at: datetime
    op_id: UUID


@dataclass(frozen=True)
class GameView:
    """draws: one a round. said: every entry in the order in which it was tapped."""

    id: UUID
    session_id: UUID
    number: int
    kind: str
    wishes: Mapping[str, Any]
    state: str
    draws: tuple[DrawView, ...]
    said: tuple[Said, ...]

    @property
    def draw(self) -> DrawView:
        """Of the round that is on."""
        return self.draws[-1]

    @property
    def children(self) -> frozenset[UUID]:
        """Who was drawn into the game, in whatever round."""
        return frozenset(child for draw in self.draws for child in draw.children)

    def entries(self, what: str, round_no: int | None = None, part: int | None = None) -> list[Said]:
        return [
            one for one in self.said if one.what == what and round_no in (None, one.round) and part in (None, one.part)
        ]

    def last(self, what: str, round_no: int, part: int) -> Said | None:
        """What counts of what was said about one part of a round."""
        return next(reversed(self.entries(what, round_no, part)), None)


@dataclass(frozen=True)
class Task:
    """What a draw is made from. children: who is in it, by name. seed: the same one gives the same draw."""

    present: Present
    children: tuple[UUID, ...]
    wishes: Mapping[str, Any]
    seed: int = 0


@dataclass(frozen=True)
class Made:
    """A draw as it is stored. children go into the problem by themselves."""

    problem: dict[str, Any]
    answer: dict[str, Any]
    proof: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Timed:
    """A time that was typed and belongs into the ledger of results. test: the code of the timed test."""

    athlete: UUID
    test: str
    ms: int


@dataclass(frozen=True)
class Viewer:
    """leads: makes games. ranks: may see children in order. user: whose own entries are shown to them again."""

    leads: bool
    ranks: bool
    user: UUID | None = None


def seen_again(said: Said | None, viewer: Viewer) -> Mapping[str, Any]:
    """What was entered, for who entered it and for who may see children in order; for others nothing."""
    return said.data if said is not None and (viewer.ranks or said.by == viewer.user) else {}


Making = Callable[[Task], Made]


@dataclass(frozen=True)
class Kind:
    """One kind of game: a module that offers these. Whatever it refuses it says with RefusedError.

    defaults: wishes that suit who is here. make: the first draw. show: what the page's template needs, for one viewer.
    teams: what a helper may see, names of teams with first names and totals. own: what a guardian may read of one
    child, in sentences without another child's name and without a rank. take: checks what was entered and gives back
    what is stored. next: the draw of the next round. fit: the newest draw with one more child in it, moving as few as
    can be. out: without a child. times: typed times among an entry. doubts: what to ask about them once. entering: a
    page of its own to enter something on, in `…_enter.html` beside the template; without one all is tapped on the
    game's page. standing: for the head coach
    alone, in `…_order.html`. turns: what a script on the bell's pages needs to call them by the bell. tally: what is
    tapped there. sums: ids of each team and what it came to, nothing while nobody entered anything. counted: wishes
    that go with how many play. Forms of wishes and of what is tapped are looked up by the code in `forms`.
    """

    code: str
    name: Promise
    about: Promise
    template: str
    defaults: Callable[[Present], dict[str, Any]]
    make: Making
    show: Callable[[GameView, Present, Viewer], dict[str, Any]]
    take: Callable[[GameView, Said], dict[str, Any]]
    fit: Callable[[GameView, Task, UUID], Made]
    out: Callable[[GameView, Task, UUID], Made] | None = None
    next: Callable[[GameView, Task], Made] | None = None
    times: Callable[[GameView, Said], list[Timed]] | None = None
    doubts: Callable[[GameView, Club, Mapping[str, Any]], str] | None = None
    teams: Callable[[GameView, Present], list[dict[str, Any]]] | None = None
    own: Callable[[GameView, Present, UUID], list[str]] | None = None
    entering: Callable[[GameView, Present, Viewer, int], dict[str, Any]] | None = None
    standing: Callable[[GameView, Present], dict[str, Any]] | None = None
    turns: Callable[[GameView, Present], dict[str, Any]] | None = None
    tally: Callable[[GameView, Present], dict[str, Any]] | None = None
    sums: Callable[[GameView], list[tuple[list[str], int]]] | None = None
    counted: tuple[str, ...] = ()
    least: int = 2

    @property
    def stem(self) -> str:
        """What its further templates' names begin with."""
        return self.template.removesuffix(".html")
