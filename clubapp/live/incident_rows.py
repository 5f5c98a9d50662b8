"""Reads over incidents: what the register has to show of a suspected head injury, and what stands in a note."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from clubapp.engine.safety import Return, earliest_returns, not_before
from clubapp.live.models import Clearance, Incident, SaidBy, Whereabouts
from clubapp.people import keeping

INCIDENTS = "incidents"


@dataclass(frozen=True)
class Hurt:
    """A suspected head injury: what the field must know of it. cleared: the entry that stands, if any."""

    incident: UUID
    session: UUID
    athlete: UUID
    station: UUID | None
    op_id: UUID
    tapped_at: datetime
    received_at: datetime
    day: date
    signs_gone_on: date | None
    cleared: Clearance | None
    said_by: SaidBy

    @property
    def not_before(self) -> date:
        return not_before(self.day, self._gone)

    @property
    def returns(self) -> tuple[Return, ...]:
        return earliest_returns(self.day, self._gone)

    @property
    def _gone(self) -> date | None:
        """A day before the injury was a slip of the thumb: it then counts for nothing."""
        return self.signs_gone_on if self.signs_gone_on and self.signs_gone_on >= self.day else None


def hurt_in(session_id: UUID) -> list[Hurt]:
    """Suspected head injuries of this session. Nobody is back in it the same day, whoever clears the child."""
    return _hurt(Incident.objects.filter(session=session_id))


def hurt_children(athlete_ids: Iterable[UUID]) -> dict[UUID, Hurt]:
    """The injury that holds longest of each child, of those that nobody has cleared."""
    rows = [row for row in _hurt(Incident.objects.filter(athlete__in=list(athlete_ids))) if row.cleared is None]
    return {row.athlete: row for row in sorted(rows, key=lambda row: (row.not_before, str(row.op_id)))}


def injuries_of(athlete_id: UUID) -> list[Hurt]:
    """Every suspected head injury of a child, cleared or not, the newest first."""
    return _hurt(Incident.objects.filter(athlete=athlete_id))[::-1]


def _hurt(rows: QuerySet[Incident]) -> list[Hurt]:
    rows = rows.filter(head_injury=True).exclude(more__mistaken=True).defer("what", "done", "stays_with")
    found = rows.select_related("session__club", "by", "visitor").prefetch_related("more", "clearances")
    return [_as_hurt(row) for row in found.order_by("happened_at", "op_id")]


def _as_hurt(row: Incident) -> Hurt:
    said = sorted((more for more in row.more.all() if more.signs_gone_on), key=lambda more: more.tapped_at)
    cleared = sorted(row.clearances.all(), key=lambda entry: entry.received_at)
    return Hurt(
        row.pk,
        row.session_id,
        row.athlete_id,
        row.station_id,
        row.op_id,
        row.tapped_at,
        row.received_at,
        row.happened_at.astimezone(row.session.club.zone).date(),
        said[-1].signs_gone_on if said else None,
        cleared[-1] if cleared and cleared[-1].stands else None,
        row,
    )


def taken_out(session_id: UUID) -> set[UUID]:
    """Children whom no plan of this session may reckon with any more."""
    return {row.athlete for row in hurt_in(session_id)}


def export_child(athlete_id: UUID) -> dict[str, Any]:
    """All that the live pages keep of a child, for the family that asks; other children are not named by us."""
    said = Whereabouts.objects.filter(athlete=athlete_id).select_related("session", "by", "visitor")
    incidents = Incident.objects.filter(athlete=athlete_id).prefetch_related("more", "clearances")
    return {
        "where": [_exported_word(row) for row in said.order_by("tapped_at", "op_id")],
        "incidents": [_exported(row) for row in incidents.order_by("happened_at", "op_id")],
    }


def kept_until(row: Incident) -> date:
    """The last day of the club's period for this note."""
    return keeping.kept_until(row.session.club, INCIDENTS, _day_of(row))


def _day_of(row: Incident) -> date:
    return row.happened_at.astimezone(row.session.club.zone).date()


def has_to_stay(athlete_id: UUID) -> list[Incident]:
    """Notes about the child whose period is not over."""
    rows = Incident.objects.filter(athlete=athlete_id).select_related("session__club", "athlete", "by", "visitor")
    rows = rows.prefetch_related("more", "clearances").order_by("happened_at", "op_id")
    return [row for row in rows if kept_until(row) >= row.session.club.today()]


def stays(athlete_id: UUID) -> list[str]:
    sentence = _("The incident note of %(day)s, with the child's name, until %(until)s")
    days = [(_day_of(row), kept_until(row)) for row in has_to_stay(athlete_id)]
    return [sentence % {"day": date_format(day, "j M Y"), "until": date_format(until, "j M Y")} for day, until in days]


def whole(row: Incident) -> list[tuple[str, str]]:
    """A note and all that was added, line by line, to be kept without the rows it stands in."""
    born = row.athlete.date_of_birth
    kept = _exported(row)
    lines = [("child", row.athlete.full_name), ("born", born.isoformat() if born else "")]
    lines += [
        (key, str(value)) for key, value in kept.items() if not isinstance(value, list) and value not in ("", None)
    ]
    for part in ("more", "clearances"):
        lines += [(part, ", ".join(f"{k}: {v}" for k, v in one.items() if v)) for one in kept[part]]
    return [(key.replace("_", " "), value) for key, value in lines]


def _exported_word(row: Whereabouts) -> dict[str, Any]:
    return {
        "session": row.session.date.isoformat(),
        "at": row.tapped_at.isoformat(),
        "where": row.get_kind_display(),
        "reason": row.get_reason_display(),
        "with_whom": row.with_whom,
        "by": row.name,
    }


def _exported(row: Incident) -> dict[str, Any]:
    return {
        "happened_at": row.happened_at.isoformat(),
        "written_by": row.name,
        "head_injury": row.head_injury,
        "what": row.what,
        "done": row.done,
        "stays_with": row.stays_with,
        "more": [
            {
                "at": more.tapped_at.isoformat(),
                "told_whom": more.told_whom,
                "told_at": more.told_at.isoformat() if more.told_at else None,
                "signs_gone_on": more.signs_gone_on.isoformat() if more.signs_gone_on else None,
                "words": more.words,
                "mistaken": more.mistaken,
            }
            for more in row.more.all()
        ],
        "clearances": [
            {"who": entry.who, "on": entry.on.isoformat() if entry.on else None, "stands": entry.stands}
            for entry in row.clearances.all()
        ],
    }
