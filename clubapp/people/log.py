"""The audit log as it is read: who did what about whom. It is only ever added to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from clubapp.core.models import AuditLog
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


def lines(club: Club, *, welfare: bool, page: int = 1) -> tuple[list[Line], bool]:
    """The page's lines, the newest first, and whether there are older ones. Of concerns only welfare officers read."""
    rows = AuditLog.objects.filter(club_id=club.pk).select_related("user").order_by("-at", "-pk")
    rows = rows if welfare else rows.exclude(kind=KIND)
    found = list(rows[(page - 1) * A_PAGE : page * A_PAGE + 1])
    names = _names(club, {row.about for row in found if row.about})
    zone = club.zone
    shown = [
        Line(
            at=row.at.astimezone(zone).replace(tzinfo=None),
            who=row.user.name if row.user else "",
            verb=row.verb,
            kind=row.kind,
            about=names.get(row.about, "") if row.about else "",
        )
        for row in found[:A_PAGE]
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
