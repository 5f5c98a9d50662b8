"""Who can be in a game: the children who are here, and what adults said of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from uuid import UUID

from django.db.models import Q

from clubapp.core.registry import registry
from clubapp.people.models import Athlete, PairRule
from clubapp.people.queries import short_names
from clubapp.planning.models import Session
from clubapp.register import queries as register
from clubapp.register.models import Mark

WATCHING = Mark.LeaveOut.WATCHING


@dataclass(frozen=True)
class Present:
    """children: marked here and not taken out, by name. easy: what those who go easy leave out.

    apart: pairs whom the club's rules keep apart, as far as both are here.
    """

    session: Session
    children: tuple[Athlete, ...]
    names: Mapping[UUID, str]
    easy: Mapping[UUID, Sequence[str]]
    first_timers: frozenset[UUID]
    apart: tuple[frozenset[UUID], ...]

    @property
    def ids(self) -> tuple[UUID, ...]:
        return tuple(child.pk for child in self.children)

    @property
    def able(self) -> frozenset[UUID]:
        """Who may be taken in. Who only watches may not, whoever ticks: the register has to say otherwise first."""
        return frozenset(child for child in self.ids if WATCHING not in self.easy.get(child, ()))

    @property
    def unasked(self) -> tuple[UUID, ...]:
        """Who is in without anybody saying so: nobody who goes easy is."""
        return tuple(child for child in self.ids if child not in self.easy)

    def name(self, child: UUID | str) -> str:
        """A child who has been erased since has none."""
        return self.names.get(child if isinstance(child, UUID) else UUID(child), "–")


def present_of(session: Session, also: Iterable[UUID] = ()) -> Present:
    """Read it all, once a page. also: children to name who may not be here any more."""
    out = registry.taken_out(session.pk)
    ids = [child for child in register.here_ids(session.pk) if child not in out]
    names = names_for(session, {*ids, *also})
    children = sorted(Athlete.objects.filter(pk__in=ids), key=lambda one: (names[one.pk].casefold(), str(one.pk)))
    return Present(
        session=session,
        children=tuple(children),
        names=names,
        easy={child: left for child, left in register.easy(session.pk).items() if child in names},
        first_timers=frozenset(register.first_timers(ids, before=session.date)),
        apart=tuple(_apart(session, frozenset(ids))),
    )


def names_for(session: Session, ids: set[UUID]) -> dict[UUID, str]:
    """Short names among the whole squad, so that a child is called the same on every page."""
    return short_names(Athlete.objects.filter(Q(squads=session.squad_id) | Q(pk__in=ids)).distinct())


def _apart(session: Session, here: frozenset[UUID]) -> list[frozenset[UUID]]:
    rows = PairRule.objects.filter(club=session.club_id, kind=PairRule.Kind.APART).prefetch_related("athletes")
    found: set[frozenset[UUID]] = set()
    for row in rows:
        found |= {frozenset(pair) for pair in combinations([child.pk for child in row.athletes.all()], 2)}
    return sorted((pair for pair in found if pair <= here), key=lambda pair: sorted(map(str, pair)))
