"""What the live pages keep for a time: incident notes, and what was said on the field."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import UUID

from django.db.models import Model, QuerySet
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import ngettext

from clubapp.core.registry import Keeping
from clubapp.live.incident_rows import INCIDENTS
from clubapp.live.models import (
    Call,
    Clearance,
    HeadCount,
    Heard,
    Incident,
    IncidentMore,
    KeptIncident,
    Pass,
    Visitor,
    Whereabouts,
)
from clubapp.people.models import Club

SAID = (Whereabouts, HeadCount, Call, Heard)


def _notes(club_id: UUID, first: date) -> QuerySet[Incident]:
    rows = Incident.objects.filter(session__club=club_id, happened_at__date__lt=first)
    return rows.select_related("athlete").order_by("happened_at", "pk")


def _kept_notes(club_id: UUID) -> QuerySet[KeptIncident]:
    """Each carries the last day that the club stated when the child's record went."""
    today = Club.objects.get(pk=club_id).today()
    return KeptIncident.objects.filter(club=club_id, until__lt=today).order_by("happened_on", "pk")


def _notes_go(club_id: UUID, first: date) -> list[str]:
    sentence = _("The incident note of %(day)s about %(name)s")
    kept = _("The incident note of %(day)s about a child whose record is erased")
    notes = [
        sentence % {"day": date_format(row.happened_at, "j M Y"), "name": row.athlete.full_name}
        for row in _notes(club_id, first)
    ]
    return notes + [kept % {"day": date_format(row.happened_on, "j M Y")} for row in _kept_notes(club_id)]


def _clear_notes(club_id: UUID, first: date, by: Any) -> None:
    Heard.objects.filter(about__in=list(_notes(club_id, first).values_list("op_id", flat=True))).delete()
    _notes(club_id, first).delete()
    _kept_notes(club_id).delete()


def _said(model: type[Model], club_id: UUID, first: date) -> QuerySet[Any]:
    return model._default_manager.filter(session__club=club_id, session__date__lt=first)


def _visitors(club_id: UUID, first: date) -> QuerySet[Visitor]:
    """Helpers who came with a pass, but for those whose name stands under an incident note."""
    rows = Visitor.objects.filter(entry__session__club=club_id, entry__session__date__lt=first)
    for model in (Incident, IncidentMore, Clearance):
        wrote: QuerySet[Any] = model._default_manager.exclude(visitor=None)
        rows = rows.exclude(pk__in=wrote.values("visitor"))
    return rows


def _field_goes(club_id: UUID, first: date) -> list[str]:
    words = sum(_said(model, club_id, first).count() for model in SAID)
    names = _visitors(club_id, first).count()
    said = ngettext("%(n)d word said on the field", "%(n)d words said on the field", words) % {"n": words}
    came = ngettext("%(n)d helper who came with a pass", "%(n)d helpers who came with a pass", names) % {"n": names}
    return [line for line, count in ((said, words), (came, names)) if count]


def _clear_field(club_id: UUID, first: date, by: Any) -> None:
    for model in SAID:
        _said(model, club_id, first).delete()
    _visitors(club_id, first).delete()
    _said(Pass, club_id, first).filter(visitors=None).delete()


KEEPINGS = (
    Keeping(
        "field",
        _lazy("Where children were on the field, head-counts, calls, helpers' names"),
        "",
        12,
        12,
        120,
        _field_goes,
        _clear_field,
    ),
    Keeping(
        INCIDENTS,
        _lazy("Incident notes, also of children whose record is erased"),
        _lazy("A child hurt at seven is then 22."),
        180,
        60,
        600,
        _notes_go,
        _clear_notes,
    ),
)
