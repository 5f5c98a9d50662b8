"""The squad list as it is looked through: who belongs to it, and what is missing of whom."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from uuid import UUID

from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from clubapp.people import consents, queries
from clubapp.people.models import Athlete, Club, Guardianship, Health, Squad

Ids = Iterable[UUID]


def _without_adult(ids: Ids) -> set[UUID]:
    return set(ids) - set(Guardianship.objects.exclude(guardian__phone="").values_list("athlete_id", flat=True))


def _without_collector(ids: Ids) -> set[UUID]:
    return set(ids) - queries.collectors(ids).keys()


def _not_asked(ids: Ids) -> set[UUID]:
    asked = Athlete.objects.filter(pk__in=list(ids), health=Health.NOT_ASKED)
    return set(asked.values_list("pk", flat=True)) - queries.flagged(ids)


def _without(kind: str) -> Callable[[Ids], set[UUID]]:
    def those(ids: Ids) -> set[UUID]:
        standing = consents.standing(ids)
        return {child for child in ids if kind not in standing.get(child, frozenset())}

    return those


# What the list can be narrowed to: the words for it, and whom it leaves.
FILTERS: dict[str, tuple[object, Callable[[Ids], set[UUID]]]] = {
    "health": (_("health note"), queries.flagged),
    "not_asked": (_("not asked about health"), _not_asked),
    "no_adult": (_("nobody to ring"), _without_adult),
    "no_collector": (_("nobody may collect"), _without_collector),
    "no_photos": (_("no photos"), _without(consents.Kind.PHOTOGRAPHS)),
    "no_first_aid": (_("first aid not agreed"), _without(consents.Kind.FIRST_AID)),
    "no_data": (_("data not agreed"), _without(consents.Kind.DATA)),
}


def children(club: Club, *, squad: Squad | None, words: str, only: str) -> QuerySet[Athlete]:
    """The roster narrowed by squad, words and one of the filters; a filter nobody knows narrows nothing."""
    rows = queries.roster(club, squad=squad, words=words)
    if only not in FILTERS:
        return rows
    ids = list(rows.values_list("pk", flat=True))
    return rows.filter(pk__in=FILTERS[only][1](ids))
