"""What is asked about a typed time that looks impossible. None is refused: kept once more it counts as it is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.games.state import GameView
from clubapp.people.models import Athlete, Club
from clubapp.results import bridge, catalogue, measures
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
    code = view.wishes.get("test", "")
    span, typed = span_of(club, code), typed_in(data)
    odd = [ms for ms in typed.values() if span and not span["least"] <= ms <= span["most"]]
    asked = [span["words"].replace("%s", _plain(ms)) for ms in odd]
    return " ".join([*asked, *_far(club, code, {child: ms for child, ms in typed.items() if ms not in odd})])


def typed_in(data: Mapping[str, Any]) -> dict[UUID, int]:
    return {UUID(child): ms for child, ms in data.get("times", {}).items() if child not in data.get("watch", {})}


def _far(club: Club, code: str, typed: Mapping[UUID, int]) -> Iterator[str]:
    """Of children whose time is far from their own before; what is likely of a child is not said to who enters it."""
    far = {child: span for child, span in likely_spans(club, code, typed).items() if not _within(span, typed[child])}
    for child in Athlete.objects.filter(club=club, pk__in=far).order_by("given_name", "pk"):
        yield far_question(child.first_name).replace("%s", _plain(typed[child.pk]))


def likely_spans(club: Club, code: str, children: Iterable[UUID]) -> Mapping[UUID, bridge.Span]:
    """What each is likely to run on a test; empty before anybody was timed on it."""
    test = next((one for one in catalogue.of_club(club) if one.code == code and one.is_stored), None)
    if test is None or not test.row.is_timed:
        return {}
    return bridge.spans(test.row, children, club.today())


def far_question(name: str) -> str:
    said = {"name": name, "time": "%s"}
    return _("%(name)s: %(time)s s, far from what this child ran before. If it is right, keep it once more.") % said


def _within(span: bridge.Span, ms: int) -> bool:
    return span.least <= ms <= span.most


def _plain(ms: int) -> str:
    return measures.plain(ms, Trial.Unit.SECONDS)
