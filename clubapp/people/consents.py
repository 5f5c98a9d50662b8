"""What guardians allowed for their children: the sentences agreed to, and what stands now."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clubapp.people.models import Athlete, Consent, Guardianship

Kind = Consent.Kind
Standing = Mapping[UUID, frozenset[str]]


@dataclass(frozen=True)
class Wording:
    """A sentence a guardian agrees to. A changed sentence is a new version; the old consents keep theirs.

    allows, refuses: what holds for the adults of the club while it is agreed to, and while it is not.
    """

    version: str
    text: Any
    allows: Any
    refuses: Any


WORDINGS: Mapping[str, Wording] = {
    Kind.PHOTOGRAPHS: Wording(
        "2026-1",
        gettext_lazy("The club may take pictures and films of my child at sessions, and use them without its name."),
        gettext_lazy("Pictures may be taken."),
        gettext_lazy("No photos: the register, the stations and the sheet say so."),
    ),
    Kind.FIRST_AID: Wording(
        "2026-1",
        gettext_lazy("If my child is hurt, an adult of the club may give first aid and call an ambulance."),
        gettext_lazy("First aid was agreed to."),
        gettext_lazy("Nobody has agreed to first aid yet: ask. In an emergency call an ambulance all the same."),
    ),
    Kind.DATA: Wording(
        "2026-1",
        gettext_lazy("The club may keep what I tell it about my child, health included, to run its sessions."),
        gettext_lazy("The club may keep it."),
        gettext_lazy("Nobody has agreed to what the club keeps yet: ask."),
    ),
    Kind.RESULTS: Wording(
        "2026-1",
        gettext_lazy("My child's results may be shown outside the family, for example on a list of the squad."),
        gettext_lazy("Results may be shown to others."),
        gettext_lazy("Results are for the family and its coaches alone."),
    ),
    Kind.GOES_ALONE: Wording(
        "2026-1",
        gettext_lazy("My child may go home alone when a session is over."),
        gettext_lazy("Yes, by a guardian's consent."),
        gettext_lazy("No: an adult who may collect has to come."),
    ),
}


@dataclass(frozen=True)
class Line:
    """One consent of a child as it stands. mine: what one guardian said last, None for nothing."""

    kind: str
    title: str
    wording: Wording
    stands: bool
    mine: bool | None = None


def standing(athlete_ids: Iterable[UUID]) -> Standing:
    """What each child's guardians allow. One of them who said no is not overruled by another who said yes.

    Who is no longer responsible for the child, or whose contact is restricted, has no say.
    """
    ids = list(athlete_ids)
    ties = set(Guardianship.objects.filter(athlete__in=ids).values_list("athlete_id", "guardian_id"))
    last: dict[UUID, dict[tuple[str, UUID | None], bool]] = defaultdict(dict)
    for row in Consent.objects.filter(athlete__in=ids).order_by("at", "pk"):
        if (row.athlete_id, row.guardian_id) in ties:
            last[row.athlete_id][row.kind, row.guardian_id] = row.given
    return {child: _agreed(said) for child, said in last.items()}


def _agreed(said: Mapping[tuple[str, UUID | None], bool]) -> frozenset[str]:
    asked = {kind for kind, _guardian in said}
    return frozenset(kind for kind in asked if all(given for (of, _who), given in said.items() if of == kind))


def goes_alone(athlete_ids: Iterable[UUID]) -> set[UUID]:
    """Children who may go home alone."""
    return {child for child, kinds in standing(athlete_ids).items() if Kind.GOES_ALONE in kinds}


def no_photos(athlete_ids: Iterable[UUID]) -> set[UUID]:
    """Children of whom no pictures may be taken: all but those whose guardians agreed."""
    ids = set(athlete_ids)
    return ids - {child for child, kinds in standing(ids).items() if Kind.PHOTOGRAPHS in kinds}


def lines(athlete: Athlete, tie: Guardianship | None = None) -> list[Line]:
    """Every consent there is; with a tie also what that guardian said of it."""
    stands = standing([athlete.pk]).get(athlete.pk, frozenset())
    rows = Consent.objects.filter(athlete=athlete, guardian=tie.guardian_id).order_by("at", "pk") if tie else ()
    mine = {row.kind: row.given for row in rows}
    return [
        Line(kind, str(Kind(kind).label), wording, kind in stands, mine.get(kind)) for kind, wording in WORDINGS.items()
    ]


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
