"""What groups and rotation are made from: the children who are here, the stations, the rules, the minutes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.db.models import Q

from clubapp.people.models import Athlete, PairRule
from clubapp.people.queries import short_names
from clubapp.planning import queries as planning
from clubapp.planning.models import Session, Station
from clubapp.register import queries as register
from clubapp.results.likely import likely_seconds
from clubapp.rotation import queries


@dataclass(frozen=True)
class Rule:
    """A pair rule as far as its children are here. together: keep together, otherwise keep apart."""

    id: UUID
    together: bool
    athletes: tuple[UUID, ...]


@dataclass(frozen=True)
class Evening:
    """children: those marked here, by id. speeds: seconds, as likely that day. minutes: what other blocks leave."""

    session: Session
    children: tuple[Athlete, ...]
    speeds: Mapping[UUID, float]
    first_timers: frozenset[UUID]
    easy: Mapping[UUID, Sequence[str]]
    rules: tuple[Rule, ...]
    stations: tuple[Station, ...]
    adults: int
    minutes: int

    @property
    def here(self) -> frozenset[UUID]:
        return frozenset(child.pk for child in self.children)


def evening_of(session: Session, also: frozenset[UUID] = frozenset()) -> Evening:
    """Read it all, once a page. also: children to count who are not marked here, or not any more."""
    ids = sorted({*queries.taking_part(session.pk), *also})
    return Evening(
        session=session,
        children=tuple(Athlete.objects.filter(pk__in=ids).order_by("pk")),
        speeds=likely_seconds(session.club_id, ids, session.date),
        first_timers=frozenset(register.first_timers(ids, before=session.date)),
        easy=register.easy(session.pk),
        rules=tuple(_rules(session, frozenset(ids))),
        stations=tuple(Station.objects.filter(session=session)),
        adults=register.adults_here(session.pk) or session.adults,
        minutes=planning.rotation_minutes(session),
    )


def _rules(session: Session, here: frozenset[UUID]) -> list[Rule]:
    """Rules that at least two children here share; the reasons stay where they are."""
    rows = PairRule.objects.filter(club=session.club_id).prefetch_related("athletes").order_by("pk")
    found = []
    for row in rows:
        ids = tuple(sorted(child.pk for child in row.athletes.all() if child.pk in here))
        if len(ids) > 1:
            found.append(Rule(row.pk, row.kind == PairRule.Kind.TOGETHER, ids))
    return found


def names_for(session: Session, ids: set[UUID]) -> dict[UUID, str]:
    """Short names of the squad's and any other named children, so that two equal ones differ on every page alike."""
    rows = Athlete.objects.filter(Q(squads=session.squad_id) | Q(pk__in=ids)).distinct()
    return short_names(rows)
