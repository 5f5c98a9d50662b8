"""The adults of the evening: who is here, how many the children need, and what the club has seen of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from uuid import UUID

from clubapp.engine.safety import Ratio, adults_needed
from clubapp.engine.words import completed_years
from clubapp.people.access import Person
from clubapp.people.models import Athlete, Membership
from clubapp.planning.models import Session
from clubapp.register import access, queries
from clubapp.register.queries import CurrentAdult
from clubapp.register.sorting import plain


@dataclass(frozen=True)
class AdultRow:
    """An adult who may be marked, or was. eighteen: what was last said about the age, None if nobody said.

    vetted, first_aider: by what the club has seen, on the session's day; of a typed name it has seen nothing.
    """

    person: UUID
    name: str
    member: bool
    mark: CurrentAdult | None
    eighteen: bool | None
    vetted: bool = False
    first_aider: bool = False

    @property
    def here(self) -> bool:
        return self.mark is not None and self.mark.here


@dataclass(frozen=True)
class Staffing:
    """Adults beside the children. children: those who are here; listed: all on the register; runs: the reader leads."""

    session: Session
    adults: tuple[AdultRow, ...]
    children: tuple[Athlete, ...]
    listed: tuple[Athlete, ...]
    runs: bool

    @cached_property
    def ratio(self) -> Ratio:
        return adults_needed([_age(child, self.session) for child in self.children])

    @cached_property
    def if_all_come(self) -> Ratio:
        """What to plan with before anybody is here."""
        return adults_needed([_age(child, self.session) for child in self.listed])

    @property
    def adults_here(self) -> int:
        """Only those of 18 or over count."""
        return sum(row.mark is not None and row.mark.here and row.mark.eighteen for row in self.adults)

    @property
    def adults_short(self) -> int:
        return max(0, self.ratio.adults - self.adults_here)

    @property
    def unvetted(self) -> tuple[str, ...]:
        """Adults here of whom no valid vetting is written down; for the eyes of who runs the session."""
        return tuple(row.name for row in self.adults if row.here and not row.vetted) if self.runs else ()

    @property
    def no_first_aider(self) -> bool:
        """Adults are here, and none of them with first aid that holds."""
        here = [row for row in self.adults if row.here]
        return self.runs and bool(here) and not any(row.first_aider for row in here)


def staffing_of(user: Person, session: Session) -> Staffing:
    listed, here = tuple(access.expected(session)), set(queries.here_ids(session.pk))
    return Staffing(
        session=session,
        adults=tuple(adults(session)),
        children=tuple(child for child in listed if child.pk in here),
        listed=listed,
        runs=access.may_finish(user, session),
    )


def adults(session: Session) -> Iterable[AdultRow]:
    """The club's members by name, then the adults whose names were typed."""
    marks = queries.current_adults(session.pk)
    members = list(Membership.objects.filter(club=session.club_id).select_related("user"))
    said = queries.last_said_eighteen(row.user_id for row in members)
    for row in sorted(members, key=lambda row: (plain(row.user.name), str(row.user_id))):
        user, day = row.user, session.date
        eighteen = True if row.eighteen else said.get(user.pk)
        seen = {"vetted": row.vetted_on(day), "first_aider": row.first_aider_on(day)}
        yield AdultRow(user.pk, user.name, True, marks.get(user.pk), eighteen, **seen)
    known = {row.user_id for row in members}
    others = [mark for mark in marks.values() if mark.person not in known]
    for mark in sorted(others, key=lambda mark: (plain(mark.name), str(mark.person))):
        yield AdultRow(mark.person, mark.name, False, mark, mark.eighteen)


def _age(child: Athlete, session: Session) -> int | None:
    return max(0, completed_years(child.born, session.date)) if child.born else None
