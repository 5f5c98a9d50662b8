"""The audit log as it is read: who did what about whom. It is only ever added to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from clubapp.core.models import AuditLog
from clubapp.core.registry import registry
from clubapp.people.actions.concerns import KIND
from clubapp.people.models import Athlete, Club, Squad, User

A_PAGE = 100


@dataclass(frozen=True)
class Line:
    """about: a name as it is now; empty for whoever was erased or is nobody's to name."""

    at: datetime
    who: str
    verb: str
    kind: str
    about: str


Entry = tuple[datetime, UUID | None, str, str, UUID | None]  # when, who, verb, kind, about


def lines(club: Club, *, welfare: bool, page: int = 1) -> tuple[list[Line], bool]:
    """The page's lines, the newest first, and whether there are older ones. Of concerns only welfare officers read."""
    rows = AuditLog.objects.filter(club_id=club.pk).order_by("-at", "-pk")
    rows = rows if welfare else rows.exclude(kind=KIND)
    return _page(club, rows.values_list("at", "user_id", "verb", "kind", "about"), page)


def evening_lines(club: Club, *, page: int = 1) -> tuple[list[Line], bool]:
    """The same of marks, plans and draws: these are only ever added to, and are their own log."""
    first, *others = (entries(club.pk).order_by() for entries in registry.logged.values())
    return _page(club, first.union(*others, all=True).order_by("-at"), page)


def _page(club: Club, rows: Any, page: int) -> tuple[list[Line], bool]:
    found: list[Entry] = list(rows[(page - 1) * A_PAGE : page * A_PAGE + 1])
    names = _names(club, {about for *_rest, about in found if about})
    adults = {user.pk: user.name for user in User.objects.filter(pk__in={who for _at, who, *_rest in found if who})}
    shown = [
        Line(
            at=at.astimezone(club.zone).replace(tzinfo=None),
            who=adults.get(who, "") if who else "",
            verb=verb,
            kind=kind,
            about=names.get(about, "") if about else "",
        )
        for at, who, verb, kind, about in found[:A_PAGE]
    ]
    return shown, len(found) > A_PAGE


def _names(club: Club, ids: Iterable[UUID]) -> Mapping[UUID, str]:
    merged = AuditLog.objects.filter(club_id=club.pk, verb="merged", kind="athlete")
    now = {UUID(row.detail["double"]): row.about for row in merged.order_by("-pk")}
    wanted = [*ids, *filter(None, now.values())]
    children = {child.pk: child.full_name for child in Athlete.objects.filter(club=club, pk__in=wanted)}
    adults = {user.pk: user.name for user in User.objects.filter(pk__in=wanted)}
    squads = {squad.pk: squad.name for squad in Squad.objects.filter(club=club, pk__in=wanted)}
    known = {**adults, **squads, **children}
    return known | {double: known[stays] for double, stays in now.items() if stays in known}
