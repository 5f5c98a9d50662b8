"""Stop-watches at a handicap race: what they took stands ready on its page, and whoever enters the race keeps it.

It is no result of a timed test: a start on a mark is another start.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.engine import handtime
from clubapp.games import carried, queries
from clubapp.games.models import Game
from clubapp.games.state import GameView, Said
from clubapp.games.trouble import RefusedError

CLOCK = "clock"
CODE = re.compile(r"race-([0-9a-f]{32})-(\d{1,2})")
OPEN = (Game.State.READY, Game.State.RUNNING)


@dataclass(frozen=True)
class Race:
    """A race as a stop-watch calls it."""

    game: UUID
    round: int
    name: str = ""

    @property
    def code(self) -> str:
        return f"race-{self.game.hex}-{self.round}"


def to_time(session_id: UUID) -> list[Race]:
    """The races of a session that nobody has entered."""
    rows = [row for row in queries.games_of(session_id) if row.kind == carried.KIND and row.state in OPEN]
    views = [view for view in map(queries.view_of, rows) if not view.last(carried.FINISH, view.draw.round, 1)]
    words = _("Game %(game)d: handicap race %(n)d")
    return [
        Race(view.id, view.draw.round, words % {"game": view.number, "n": view.draw.round})
        for view in views
        if view.draw.round < 100  # longer than a code may be
    ]


def race_of(code: str) -> Race | None:
    """What a phone sent it for, entered meanwhile or not."""
    found = CODE.fullmatch(code)
    return Race(UUID(found[1]), int(found[2])) if found else None


def taken(view: GameView, said: Said) -> dict[str, Any]:
    """One child's time, or that the one it replaces was none."""
    if said.round != view.draw.round:
        raise RefusedError(_("The next race has been drawn: this one stays as it is."))
    child, ms = said.data["child"], said.data["ms"]
    if child not in view.draw.answer["marks"]:
        raise RefusedError(_("That child is not in this race."))
    if ms is not None and carried.own_s(view.draw, child, ms) <= 0:
        raise RefusedError(_("That is before the child's own start: start the watch with the first start."))
    return {"child": child, "ms": ms, "replaces": said.data["replaces"]}


def clocked(view: GameView, round_no: int) -> dict[str, int]:
    """Milliseconds by child: what each watch took last and nobody took back, several watches on one child made one."""
    rows = view.entries(CLOCK, round_no, 1)
    gone = {one.data["replaces"] for one in rows}
    last: dict[str, dict[UUID | None, int]] = {}
    for one in rows:
        if one.data["ms"] is not None and str(one.op_id) not in gone:
            last.setdefault(one.data["child"], {})[one.by] = one.data["ms"]
    return {child: handtime.combined(list(watches.values())) for child, watches in last.items()}


def places(times: Mapping[str, int]) -> dict[str, int]:
    """Whoever is in first has won, for each had a start of its own; equal times share a place."""
    return {child: 1 + sum(other < ms for other in times.values()) for child, ms in times.items()}
