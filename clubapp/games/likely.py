"""What each child is likely to run on a timed test, from everything the club's children ever ran."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from clubapp.engine import ability
from clubapp.people.models import Athlete, Club
from clubapp.planning.models import Session
from clubapp.results import queries as results
from clubapp.results.models import SPEED, Result, Trial
from clubapp.results.starters import Starter, starters

SKILL_MIDDLE, SKILL_SPREAD = 3.0, math.sqrt(2)  # of marks from 1 to 5, each as common as the others
PRIORS = ability.PRIORS
ANY_SECONDS = 10.0  # where nobody was ever timed only differences of age are known: the figure itself is never shown
MIDDLE_AGE, DAYS_A_YEAR = 11.0, 365.25


@dataclass(frozen=True)
class Likely:
    """of: by child. new: children never timed on anything. test: what the times are of; "" = by age alone."""

    of: Mapping[UUID, ability.Prediction]
    new: frozenset[UUID]
    test: str


def tests(club: Club) -> list[Starter]:
    """Every timed test in seconds: the club's own by name, then sprints that need no setting up."""
    own = results.trials_of(club).filter(unit=Trial.Unit.SECONDS)
    found = {row.code: Starter(row.code, row.name, row.distance, row.distance_unit) for row in own}
    return [*found.values(), *(test for test in starters() if test.code not in found)]


def test_of(club: Club, code: str) -> Starter | None:
    return next((test for test in tests(club) if test.code == code), None)


def best_known(session: Session, ids: Iterable[UUID]) -> str:
    """The timed test that most of these children have a time on; of equals not the roster's; "" = none."""
    known = Counter({code: len(children) for code, children in _timed(session, set(ids)).items()})
    return max(sorted(known), key=lambda code: (known[code], code != SPEED), default="")


def _timed(session: Session, ids: set[UUID]) -> dict[str, set[UUID]]:
    found: dict[str, set[UUID]] = {}
    for row in _rows(session.club, session.date):
        if row.athlete_id in ids:
            found.setdefault(row.trial.code, set()).add(row.athlete_id)
    return found


def _rows(club: Club, on: date) -> Iterable[Result]:
    rows = results.current().filter(trial__club=club, trial__unit=Trial.Unit.SECONDS, state=Result.State.COUNTS)
    return rows.filter(on__lte=on)


def likely(session: Session, ids: Iterable[UUID], test: str) -> Likely:
    """By the club's results; on the best-known test where nobody has a time on this one; else by age alone."""
    children = {child.pk: child for child in Athlete.objects.filter(pk__in=list(ids))}
    runs = [run for run in results.runs(_rows(session.club, session.date)) if run.counts]
    timed = {run.trial.code for run in runs}
    test = test if test in timed else best_known(session, children)
    day = session.date.toordinal()
    if not test:
        return Likely({pk: _by_age(child, day) for pk, child in children.items()}, frozenset(children), "")
    fitted = _fitted(session.club, runs)
    known = {run.athlete_id for run in runs}
    found = {pk: fitted.predict(_as_child(child), test, day) for pk, child in children.items()}
    return Likely(found, frozenset(children) - known, test)


def _fitted(club: Club, runs: list[results.Run]) -> ability.Ability:
    rows = [ability.Result(str(run.athlete_id), run.trial.code, run.on.toordinal(), run.ms / 1000) for run in runs]
    return ability.fit(rows, [_as_child(child) for child in Athlete.objects.filter(club=club).order_by("pk")])


def _as_child(child: Athlete) -> ability.Child:
    estimate = None if child.skill is None else (child.skill - SKILL_MIDDLE) / SKILL_SPREAD
    return ability.Child(str(child.pk), child.born.toordinal() if child.born else None, estimate)


def _by_age(child: Athlete, day: int) -> ability.Prediction:
    years = (day - child.born.toordinal()) / DAYS_A_YEAR - MIDDLE_AGE if child.born else 0.0
    mean = math.log(ANY_SECONDS) + PRIORS.slope.mean * years + PRIORS.curve.mean * years**2
    level = math.hypot(PRIORS.child, PRIORS.slope.sd * years)
    return ability.Prediction(mean, math.hypot(level, PRIORS.noise), level)
