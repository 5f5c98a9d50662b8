"""What is asked about a typed time that looks impossible. None is refused: kept once more it counts as it is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from clubapp.games.state import GameView
from clubapp.people.models import Club
from clubapp.results import catalogue, measures
from clubapp.results.models import Trial


def span_of(club: Club, code: str) -> dict[str, Any]:
    """From and to which the page asks nothing, in milliseconds, and its question; empty where the test has no such."""
    test = next((one for one in catalogue.of_club(club) if one.code == code), None)
    if test is None or test.span is None or not test.row.is_timed:
        return {}
    said = {"test": test.distance or test.name, "low": test.span[0], "high": test.span[1], "time": "%s"}
    words = _("%(time)s s for %(test)s? Children reach %(low)s to %(high)s. If it is right, keep it once more.") % said
    return {"least": test.row.least, "most": test.row.most, "words": words}


def doubts(view: GameView, club: Club, data: Mapping[str, Any]) -> str:
    """The questions about what was typed; a stop-watch's own times are not asked about."""
    span = span_of(club, view.wishes.get("test", ""))
    typed = [ms for child, ms in data.get("times", {}).items() if child not in data.get("watch", {})]
    odd = [ms for ms in typed if span and not span["least"] <= ms <= span["most"]]
    return " ".join(span["words"].replace("%s", measures.plain(ms, Trial.Unit.SECONDS)) for ms in odd)
