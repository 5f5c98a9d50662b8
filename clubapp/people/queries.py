"""Reads over several people."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from django.db.models import Count, Prefetch, Q, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clubapp.people.models import (
    Athlete,
    Club,
    Guardianship,
    HealthProposal,
    Import,
    MedicalNote,
    Membership,
    PairRule,
    Role,
    Squad,
)

A_YEAR = timedelta(days=365)


@dataclass(frozen=True)
class Card:
    """A child in a list; age in years, None if unknown and roughly if only the year of birth is known."""

    child: Athlete
    age: int | None
    roughly: bool
    squads: tuple[str, ...]
    flagged: bool


def cards(athletes: QuerySet[Athlete], today: date) -> list[Card]:
    rows = list(athletes.prefetch_related("squads"))
    notes = flagged(child.pk for child in rows)
    return [
        Card(
            child=child,
            age=years_old(child.born, today) if child.born else None,
            roughly=child.date_of_birth is None,
            squads=tuple(sorted(squad.name for squad in child.squads.all())),
            flagged=child.pk in notes,
        )
        for child in rows
    ]


def years_old(born: date, today: date) -> int:
    """Completed years."""
    return today.year - born.year - ((today.month, today.day) < (born.month, born.day))


def has_club() -> bool:
    return Club.objects.exists()


def roster(club: Club, *, squad: Squad | None = None, words: str = "") -> QuerySet[Athlete]:
    """The club's children of today by name, of one squad if given, whose names hold the words looked for.

    Who only waits for a place is not among them.
    """
    rows = Athlete.objects.filter(club=club, left_on__isnull=True, waiting_since__isnull=True)
    return named(rows.filter(squads=squad) if squad is not None else rows, words)


def named(rows: QuerySet[Athlete], words: str) -> QuerySet[Athlete]:
    """Those whose names hold every one of the words, by name."""
    for word in words.split():
        holds = Q(given_name__icontains=word) | Q(family_name__icontains=word) | Q(known_as__icontains=word)
        rows = rows.filter(holds)
    return rows.order_by("given_name", "family_name", "pk")


def club_children(club: Club) -> QuerySet[Athlete]:
    """Every record, of those too who wait or have left."""
    return named(Athlete.objects.filter(club=club), "")


def side_by_side(child: Athlete, other: Athlete) -> list[tuple[str, str, str]]:
    """What two records say, a line a detail that one of them knows."""
    mine, its = _details(child), _details(other)
    return [(title, mine[title], its[title]) for title in mine if mine[title] or its[title]]


def _details(child: Athlete) -> dict[str, str]:
    said = {str(title): getattr(child, name) for name, title in SIDE.items()}
    said[_("squads")] = ", ".join(sorted(squad.name for squad in child.squads.all()))
    said[_("adults")] = ", ".join(tie.guardian.name for tie in adults_of(child))
    return {title: "" if value is None else str(value) for title, value in said.items()}


SIDE = {
    "given_name": gettext_lazy("given name"),
    "family_name": gettext_lazy("family name"),
    "known_as": gettext_lazy("known as"),
    "date_of_birth": gettext_lazy("date of birth"),
    "birth_year": gettext_lazy("year of birth"),
    "sex": gettext_lazy("sex"),
    "skill": gettext_lazy("skill, 1 to 5"),
    "joined_on": gettext_lazy("joined"),
    "left_on": gettext_lazy("left"),
    "roster_id": gettext_lazy("roster id"),
}


def left(club: Club) -> QuerySet[Athlete]:
    return named(Athlete.objects.filter(club=club, left_on__isnull=False), "")


def waiting(club: Club) -> QuerySet[Athlete]:
    """The waiting list, who has waited longest first."""
    rows = Athlete.objects.filter(club=club, left_on__isnull=True, waiting_since__isnull=False)
    return rows.order_by("waiting_since", "given_name", "pk")


def flagged(athlete_ids: Iterable[UUID]) -> set[UUID]:
    """The children with a medical note, or with one that a guardian proposes.

    The note itself is read through `actions.read_medical_notes`, which logs it.
    """
    ids = list(athlete_ids)
    noted = MedicalNote.objects.filter(athlete__in=ids).values_list("athlete_id", flat=True)
    return {*noted, *HealthProposal.objects.filter(athlete__in=ids).values_list("athlete_id", flat=True)}


def brings_something(athlete_ids: Iterable[UUID]) -> set[UUID]:
    """The children whose note, or a guardian's proposal for one, says that something has to be there each time."""
    ids = list(athlete_ids)
    noted = MedicalNote.objects.filter(athlete__in=ids, to_bring=True).values_list("athlete_id", flat=True)
    new = HealthProposal.objects.filter(athlete__in=ids, to_bring=True).values_list("athlete_id", flat=True)
    return {*noted, *new}


def waiting_for_a_look(club: Club) -> QuerySet[Athlete]:
    """Children whose health note a guardian wants changed."""
    return roster(club).filter(health_proposals__isnull=False).distinct()


def notes_to_ask_again(club: Club, today: date) -> QuerySet[Athlete]:
    """Children whose health note was written or confirmed more than a year ago."""
    return roster(club).filter(medical_note__reviewed_on__lt=today - A_YEAR)


def is_old(note: MedicalNote | None, today: date) -> bool:
    """Whether somebody should say that the note still holds."""
    return note is not None and note.reviewed_on is not None and note.reviewed_on < today - A_YEAR


def adults_of(athlete: Athlete) -> QuerySet[Guardianship]:
    """For the head coach alone: adults whose contact is restricted stand among them."""
    rows = Guardianship.everyone.filter(athlete=athlete).select_related("guardian", "guardian__user")
    return rows.order_by("emergency_order", "guardian__name", "pk")


def collectors(athlete_ids: Iterable[UUID]) -> dict[UUID, list[Guardianship]]:
    """By child, the adults who may collect it, whom to ring first at the head; nobody whom the club did not tick."""
    rows = Guardianship.objects.filter(athlete__in=list(athlete_ids), may_collect=True).select_related("guardian")
    found: dict[UUID, list[Guardianship]] = {}
    for tie in rows.order_by("emergency_order", "guardian__name", "pk"):
        found.setdefault(tie.athlete_id, []).append(tie)
    return found


def members(club: Club) -> QuerySet[Membership]:
    rows = Membership.objects.filter(club=club)
    return rows.select_related("user").prefetch_related("squads").order_by("user__name", "pk")


def welfare_officers(club: Club) -> list[str]:
    rows = Membership.objects.filter(club=club, role=Role.WELFARE).select_related("user").order_by("user__name")
    return [row.user.name for row in rows]


@dataclass(frozen=True)
class AdultCard:
    """An adult of the club with what holds today."""

    member: Membership
    vetted: bool
    first_aider: bool


def adult_cards(club: Club) -> list[AdultCard]:
    today = club.today()
    return [AdultCard(row, row.vetted_on(today), row.first_aider_on(today)) for row in members(club)]


def pair_rules(club: Club) -> QuerySet[PairRule]:
    return PairRule.objects.filter(club=club).prefetch_related(_children_by_name()).order_by("kind", "label", "pk")


def _children_by_name() -> Prefetch[str, QuerySet[Athlete], str]:
    return Prefetch("athletes", Athlete.objects.order_by("given_name", "family_name", "pk"))


def rules_of(athlete: Athlete) -> QuerySet[PairRule]:
    return athlete.pair_rules.prefetch_related(_children_by_name()).order_by("kind", "label", "pk")


def squads(club: Club) -> QuerySet[Squad]:
    """By name, each with the number of its children of today as `children`."""
    current = Count("athletes", filter=Q(athletes__left_on__isnull=True), distinct=True)
    return Squad.objects.filter(club=club).annotate(children=current).order_by("name")


def shares_results(athlete: Athlete) -> bool:
    """Whether the child's guardians see its results: only if every squad it is in shares them, and it is in one.

    A result knows no squad, so one squad's yes cannot speak for what another has measured.
    """
    said = list(athlete.squads.values_list("shares_results", flat=True))
    return bool(said) and all(said)


def last_import(club: Club) -> Import | None:
    """The import that can be taken back: the newest one, unless that happened or what it remembers had its time."""
    row = Import.objects.filter(club=club).order_by("-at", "-pk").first()
    return row if row is not None and row.undone_at is None and row.before else None


def short_names(athletes: Iterable[Athlete]) -> dict[UUID, str]:
    """First names for the field; two equal ones get the initial of the family name, then more of it."""
    rows = sorted(athletes, key=lambda child: (child.first_name, child.family_name, str(child.pk)))
    shown = {child.pk: child.first_name for child in rows}
    for length in range(1, 1 + max((len(child.family_name) for child in rows), default=0)):
        common = Counter(name.casefold() for name in shown.values())
        for child in rows:
            if common[shown[child.pk].casefold()] > 1:
                shown[child.pk] = f"{child.first_name} {child.family_name[:length]}".strip()
    return shown
