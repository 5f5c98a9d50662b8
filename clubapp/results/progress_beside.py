"""Published values beside a child's own line: for the coach alone, only when asked for, with whom they are from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clubapp.engine import references
from clubapp.engine.words import completed_years
from clubapp.people.models import Athlete, Sex
from clubapp.results.models import Trial

Words = object  # a lazy translation
PERCENTILES = {50: gettext_lazy("half of them"), 85: gettext_lazy("the best 15 in 100")}


@dataclass(frozen=True)
class Published:
    """A table and who it is from. thousandths: of the table's unit in one of the ledger's."""

    table: references.Table
    population: Words
    source: str
    thousandths: int


BY_TEST = {
    "shuttle-4x30-ft": Published(
        references.SHUTTLE_4_30_FT_S,
        gettext_lazy("pupils in the United States in 1985"),
        "National School Population Fitness Survey, 1985",
        1000,
    ),
    "standing-long-jump": Published(
        references.LONG_JUMP_CM,
        gettext_lazy("2,427 pupils in Hungary, published in 2015"),
        "Saint-Maurice et al. 2015, Res Q Exerc Sport 86(S1):S37–44",
        10,
    ),
}


@dataclass(frozen=True)
class Beside:
    """Lines to draw, as steps in time; said: whom they are from and what they are not, or why there is none."""

    lines: tuple[tuple[str, tuple[tuple[date, float], ...]], ...]
    said: str


def exists(trial: Trial) -> bool:
    return trial.code in BY_TEST


def beside(trial: Trial, child: Athlete, days: Sequence[date]) -> Beside | None:
    """Over the days of a child's line; None for a test of which nothing is published here."""
    found = BY_TEST.get(trial.code)
    if found is None:
        return None
    if child.sex not in (Sex.BOY, Sex.GIRL) or child.date_of_birth is None:
        return Beside((), _("Published values go by sex and date of birth; they are not in the details."))
    lines = []
    for percentile in found.table.percentiles(child.sex):
        steps = _steps(found, child, percentile, days)
        if steps:
            lines.append((str(PERCENTILES[percentile]), steps))
    if not lines:
        return Beside((), _("No value is published for this age."))
    return Beside(tuple(lines), _said(found, child))


def _said(found: Published, child: Athlete) -> str:
    whom = _("girls") if child.sex == Sex.GIRL else _("boys")
    told = {"whom": whom, "population": found.population, "source": found.source}
    return (
        _(
            "Dotted: %(whom)s of the same age among %(population)s (%(source)s). Another country and another time: "
            "what was usual there, not what this child should do. Children grow at different ages."
        )
        % told
    )


def _steps(found: Published, child: Athlete, percentile: int, days: Sequence[date]) -> tuple[tuple[date, float], ...]:
    """The value on the first and the last day, and on both sides of every birthday between."""
    born = child.date_of_birth
    assert born is not None
    turns = _birthdays(born, days[0], days[-1])
    looked = sorted({days[0], *turns, *(day - timedelta(days=1) for day in turns), days[-1]})
    values = [(day, found.table.at(child.sex, percentile, completed_years(born, day))) for day in looked]
    return tuple((day, value * found.thousandths) for day, value in values if value is not None)


def _birthdays(born: date, first: date, last: date) -> list[date]:
    days = (first + timedelta(days=number) for number in range(1, (last - first).days + 1))
    return [day for day in days if completed_years(born, day) > completed_years(born, day - timedelta(days=1))]
