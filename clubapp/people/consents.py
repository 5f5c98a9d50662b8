"""What guardians allowed for their children: the sentences agreed to, and what stands now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clubapp.people.models import Athlete, Consent, Guardianship

Kind = Consent.Kind


@dataclass(frozen=True)
class Wording:
    """A sentence a guardian agrees to. A changed sentence is a new version; the old consents keep theirs."""

    version: str
    text: Any


WORDINGS: Mapping[str, Wording] = {
    Kind.GOES_ALONE: Wording("2026-1", gettext_lazy("My child may go home alone when a session is over.")),
}


def goes_alone(athlete_ids: Iterable[UUID]) -> set[UUID]:
    """Children who may go home alone because a guardian said so who is still responsible for them."""
    ids = list(athlete_ids)
    rows = Consent.objects.filter(athlete__in=ids, kind=Kind.GOES_ALONE).order_by("at", "pk")
    last = {row.athlete_id: row for row in rows}
    ties = set(Guardianship.objects.filter(athlete__in=ids).values_list("athlete_id", "guardian_id"))
    return {child for child, row in last.items() if row.given and (child, row.guardian_id) in ties}


def history(athlete: Athlete) -> list[Consent]:
    """Every consent of a child and every one taken back, the newest first."""
    rows = Consent.objects.filter(athlete=athlete).select_related("guardian", "by")
    return list(rows.order_by("-at", "-pk"))


def exported(athlete_id: UUID) -> list[dict[str, Any]]:
    rows = Consent.objects.filter(athlete=athlete_id).select_related("guardian", "by").order_by("at", "pk")
    return [
        {
            "consent": row.get_kind_display(),
            "given": row.given,
            "wording": row.wording,
            "guardian": row.guardian.name if row.guardian else _("an adult who has left"),
            "written_down_by": row.by.name if row.by else _("an adult who has left"),
            "at": row.at.isoformat(),
        }
        for row in rows
    ]
