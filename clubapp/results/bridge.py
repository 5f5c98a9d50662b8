"""Rows of the ledger into the ability model and back: what each child is likely to reach on a test."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from clubapp.engine import ability
from clubapp.engine.ability import Z80, Prediction
from clubapp.people.models import Athlete
from clubapp.results import queries
from clubapp.results.models import Trial

FAR_Z = 3.0  # three values in a thousand lie outside: a list of twelve is asked about nothing on most days
THOUSANDTHS = 1000


@dataclass(frozen=True)
class Span:
    """Milliseconds or millimetres. low, high: four in five values lie between; least, most: outside is far off."""

    low: int
    high: int
    least: int
    most: int


def spans(trial: Trial, athletes: Iterable[Athlete], on: date) -> Mapping[UUID, Span]:
    """For each child on a test; empty while nobody has a result on it.

    Lengths go into the model as their inverse, apart from times: there, too, less is then better with age.
    """
    children = {athlete.pk: _child(athlete) for athlete in athletes}
    rows = queries.current().filter(trial__club=trial.club_id, on__lte=on)
    rows = (
        rows.filter(trial__unit=Trial.Unit.SECONDS) if trial.is_timed else rows.exclude(trial__unit=Trial.Unit.SECONDS)
    )
    results = [
        ability.Result(str(run.athlete_id), run.trial.code, run.on.toordinal(), _scaled(run.ms, trial))
        for run in queries.runs(rows)
        if run.counts
    ]
    if not any(row.trial == trial.code for row in results):
        return {}
    fitted = ability.fit(results, _everybody(results, children))
    return {pk: _span(fitted.predict(child, trial.code, on.toordinal()), trial) for pk, child in children.items()}


def _everybody(results: Iterable[ability.Result], asked: Mapping[UUID, ability.Child]) -> list[ability.Child]:
    """Whoever has a result counts with the own age."""
    others = {UUID(row.child) for row in results} - set(asked)
    rows = Athlete.objects.filter(pk__in=others)
    return [*asked.values(), *map(_child, rows)]


def _child(athlete: Athlete) -> ability.Child:
    return ability.Child(str(athlete.pk), athlete.born.toordinal() if athlete.born else None)


def _scaled(value: int, trial: Trial) -> float:
    return value / THOUSANDTHS if trial.is_timed else THOUSANDTHS / value


def _span(found: Prediction, trial: Trial) -> Span:
    ends = [end for z in (Z80, FAR_Z) for end in found.between(z)]
    low, high, least, most = ends if trial.is_timed else [1 / end for end in (ends[1], ends[0], ends[3], ends[2])]
    return Span(*(max(1, round(end * THOUSANDTHS)) for end in (low, high, least, most)))
