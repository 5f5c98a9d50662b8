"""A club's tests, standard and its own, as one list."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.http import Http404

from clubapp.core.diagram import drawing, words
from clubapp.people.models import Club
from clubapp.results import library, measures
from clubapp.results.library import Standard
from clubapp.results.models import Result, Trial
from clubapp.results.starters import Starter


@dataclass(frozen=True)
class Listed:
    """One test. row: the club's own, or, before a standard test is first used, one that is not stored yet."""

    row: Trial
    standard: Standard | None

    @property
    def code(self) -> str:
        return self.row.code

    @property
    def name(self) -> str:
        return self.row.name

    @property
    def archived(self) -> bool:
        return self.row.archived_at is not None

    @property
    def is_stored(self) -> bool:
        return not self.row._state.adding

    @property
    def is_fixed(self) -> bool:
        """What was measured cannot become something else: a standard test, or one that has results."""
        return self.standard is not None or (self.is_stored and Result.objects.filter(trial=self.row).exists())

    @property
    def starter(self) -> Starter:
        """What a row is made of when a value comes in."""
        names = Starter.__dataclass_fields__
        return Starter(**{name: getattr(self.row, name) for name in names})

    @property
    def picture(self) -> str:
        return drawing.svg(self.standard.layout, self.name) if self.standard else ""

    @property
    def steps(self) -> list[str]:
        own = [line.strip() for line in self.row.how.splitlines() if line.strip()]
        return [str(step) for step in self.standard.how] + own if self.standard else own

    @property
    def distance(self) -> str:
        if self.row.distance is None:
            return ""
        return words.length_words(self.row.distance, self.row.distance_unit)

    @property
    def span(self) -> tuple[str, str] | None:
        """From and to which a value is taken without a question, in the test's unit."""
        if self.row.least is None or self.row.most is None:
            return None
        return measures.plain(self.row.least, self.row.unit), measures.plain(self.row.most, self.row.unit)


def of_club(club: Club) -> list[Listed]:
    """The club's own tests by name, then the standard ones in the library's order; those put away among them."""
    standards = library.standards()
    rows = {row.code: row for row in Trial.objects.filter(club=club).order_by("name", "code")}
    own = [Listed(row, None) for code, row in rows.items() if code not in standards]
    return own + [Listed(rows.get(code) or _unused(club, one), one) for code, one in standards.items()]


def _unused(club: Club, standard: Standard) -> Trial:
    return Trial(club=club, **vars(standard.starter))


def offered(club: Club) -> list[Listed]:
    return [test for test in of_club(club) if not test.archived]


def find(tests: Iterable[Listed], code: str) -> Listed:
    """The one of that code, or 404."""
    found = next((test for test in tests if test.code == code), None)
    if found is None:
        raise Http404
    return found
