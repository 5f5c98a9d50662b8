"""What each child in a game is likely to run: on the test the coach chose, on the best-known one, or by age alone."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from uuid import UUID

from clubapp.engine import ability
from clubapp.people.models import Athlete, Club
from clubapp.planning.models import Session
from clubapp.results import likely as results_likely
from clubapp.results import queries as results
from clubapp.results.models import SPEED, Trial
from clubapp.results.starters import Starter, starters

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


def best_known(session: Session, ids: Iterable[UUID], among: Iterable[str] | None = None) -> str:
    """The timed test that most of these children have a time on; of equals not the roster's; "" = none.

    among: only these.
    """
    ran = results.current().filter(
        trial__club=session.club, trial__unit=Trial.Unit.SECONDS, on__lte=session.date, athlete__in=list(ids)
    )
    ran = ran if among is None else ran.filter(trial__code__in=list(among))
    known = Counter(code for code, _ in set(ran.order_by().values_list("trial__code", "athlete")))
    return max(sorted(known), key=lambda code: (known[code], code != SPEED), default="")


def likely(session: Session, ids: Iterable[UUID], test: str) -> Likely:
    """By the club's results; on the best-known test where nobody has a time on this one; else by age alone."""
    children = {child.pk: child for child in Athlete.objects.filter(pk__in=list(ids))}
    model = results_likely.likely(session.club_id, session.date)
    if model is None:
        day = session.date.toordinal()
        return Likely({pk: _by_age(child, day) for pk, child in children.items()}, frozenset(children), "")
    timed = model.fitted.trials
    test = test if test in timed else best_known(session, children)
    test = test if test in timed else model.speed_test
    return Likely({pk: model.of(pk, test) for pk in children}, frozenset(children) - model.tested, test)


def _by_age(child: Athlete, day: int) -> ability.Prediction:
    years = (day - child.born.toordinal()) / DAYS_A_YEAR - MIDDLE_AGE if child.born else 0.0
    mean = math.log(ANY_SECONDS) + PRIORS.slope.mean * years + PRIORS.curve.mean * years**2
    level = math.hypot(PRIORS.child, PRIORS.slope.sd * years)
    return ability.Prediction(mean, math.hypot(level, PRIORS.noise), level)
