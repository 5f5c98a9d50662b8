"""What a child is likely to run in the next handicap race: carried on from its last one by a named rule.

Nothing is stored for it: each race keeps what it was drawn from and how it came in, so that a correction of an old race
changes the next marks by itself. A child timed on a test since goes by the tests again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Any
from uuid import UUID

from clubapp.engine.ability import Prediction
from clubapp.engine.handicap import Rule, Update
from clubapp.games import queries
from clubapp.games.state import DrawView, GameView
from clubapp.planning.models import Session
from clubapp.results import queries as results
from clubapp.results.models import Trial

KIND, FINISH = "handicaps", "finish"


def own_s(draw: DrawView, child: str, clock_ms: int) -> float:
    """Seconds over the whole course from the child's own start, from what the race's clock showed at its finish.

    Whoever had metres given runs the rest of the course: the time is drawn out by that share.
    """
    mark: int = draw.answer["marks"][child]
    if draw.problem["how"] == "seconds":
        return (clock_ms - mark) / 1000
    distance: int = draw.problem["distance_mm"]
    return clock_ms / 1000 / (1 - mark / distance)


def after_race(view: GameView, draw: DrawView) -> dict[str, Prediction]:
    """What each child of a race is likely to run next; who has no time keeps what was thought before."""
    said = view.last(FINISH, draw.round, 1)
    clock: Mapping[str, int] = said.data.get("times", {}) if said else {}
    update = Update(Rule(draw.problem["rule"]))
    found = {child: Prediction(*row) for child, row in draw.problem["likely"].items()}
    return {
        child: update.after(likely, own_s(draw, child, clock[child])) if child in clock else likely
        for child, likely in found.items()
    }


def timed_in(view: GameView, draw: DrawView) -> frozenset[str]:
    """Who has a time in a race."""
    said = view.last(FINISH, draw.round, 1)
    return frozenset(said.data.get("times", {})) if said else frozenset()


def carried(session: Session, ids: Iterable[UUID], test: str, but: UUID | None = None) -> dict[str, Prediction]:
    """By child, from its last race over this test. but: a game that is left out, being the one that is made."""
    wanted = {str(child) for child in ids}
    found: dict[str, Prediction] = {}
    days: dict[str, date] = {}
    for day, view, draw in _races(session, test, but):
        newly = {child for child in timed_in(view, draw) & wanted if child not in found}
        likely = after_race(view, draw) if newly else {}
        found |= {child: likely[child] for child in newly}
        days |= dict.fromkeys(newly, day)
    return {child: one for child, one in found.items() if not _timed_after(session, child, days[child])}


def _races(session: Session, test: str, but: UUID | None) -> Iterator[tuple[date, GameView, DrawView]]:
    """The newest first."""
    for day, view in queries.played(session, KIND):
        if view.id != but:
            yield from ((day, view, draw) for draw in reversed(view.draws) if draw.problem["test"] == test)


def _timed_after(session: Session, child: str, day: date) -> bool:
    rows: Any = results.current().filter(trial__club=session.club, trial__unit=Trial.Unit.SECONDS, athlete=UUID(child))
    return bool(rows.filter(on__gt=day, on__lte=session.date).exists())
