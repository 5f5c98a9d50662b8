"""What each child is likely to run on a timed test on a day: the ledger as the ability model reads it."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from uuid import UUID

from clubapp.engine import ability
from clubapp.people.models import Athlete
from clubapp.results import queries
from clubapp.results.models import SPEED, Trial

MOST_A_CHILD = 60  # the newest; what is older has faded, and a page has no time for it
SKILL_MIDDLE, SKILL_SPREAD = 3.0, math.sqrt(2)  # of marks from 1 to 5, each as common as the others


@dataclass(frozen=True)
class Likely:
    """One club's model on one day. children: everybody of the club; tested: who has a timed result by then."""

    fitted: ability.Ability
    children: dict[UUID, ability.Child]
    tested: frozenset[UUID]
    on: date

    def of(self, athlete_id: UUID, code: str) -> ability.Prediction:
        """One child on the test `code`.

        Raises:
            UnknownTrialError: nobody in the club has a result on it.
        """
        return self.fitted.predict(self.children[athlete_id], code, self.on.toordinal())

    @property
    def speed_test(self) -> str:
        """What groups call speed: the roster's own test, or the one that most children ran."""
        if SPEED in self.fitted.trials:
            return SPEED
        data = self.fitted.fitted.data
        ran = Counter(data.trials[at] for block in data.blocks.values() for at in {int(at) for at in block.trial})
        return min(ran, key=lambda code: (-ran[code], code))


def likely(club_id: UUID, on: date, *, lengths: bool = False) -> Likely | None:
    """From all timed results up to and with a day; None while there is none.

    Lengths have a model of their own, of 1 / metres: there, too, less is then better, and gets less with age.
    """
    rows = queries.current().filter(trial__club=club_id, on__lte=on)
    if lengths:
        rows = rows.exclude(trial__unit=Trial.Unit.SECONDS).filter(trial__better=Trial.Better.MORE)
    else:
        rows = rows.filter(trial__unit=Trial.Unit.SECONDS, trial__better=Trial.Better.LESS)
    results = _newest([run for run in queries.runs(rows) if run.counts])
    if not results:
        return None
    children = {child.pk: _child(child) for child in Athlete.objects.filter(club=club_id)}
    fitted = _fitted(tuple(results), tuple(sorted(children.values(), key=lambda child: child.id)))
    return Likely(fitted, children, frozenset(UUID(row.child) for row in results), on)


def likely_seconds(club_id: UUID, athlete_ids: Iterable[UUID], on: date) -> dict[UUID, float]:
    """Seconds on the club's speed test; a child without any timed result is left out."""
    found = likely(club_id, on)
    if found is None:
        return {}
    return {child: found.of(child, found.speed_test).median_s for child in athlete_ids if child in found.tested}


def _newest(runs: Sequence[queries.Run]) -> list[ability.Result]:
    of_child: dict[UUID, list[ability.Result]] = defaultdict(list)
    for run in sorted(runs, key=lambda run: run.on, reverse=True):
        result = ability.Result(str(run.athlete_id), run.trial.code, run.on.toordinal(), _size(run))
        of_child[run.athlete_id].append(result)
    newest = (result for results in of_child.values() for result in results[:MOST_A_CHILD])
    return sorted(newest, key=lambda row: (row.child, row.trial, row.day, row.seconds))


def _size(run: queries.Run) -> float:
    return run.ms / 1000 if run.trial.is_timed else 1000 / run.ms


def _child(child: Athlete) -> ability.Child:
    estimate = None if child.skill is None else (child.skill - SKILL_MIDDLE) / SKILL_SPREAD
    return ability.Child(str(child.pk), child.born.toordinal() if child.born else None, estimate)


@lru_cache(maxsize=8)
def _fitted(results: tuple[ability.Result, ...], children: tuple[ability.Child, ...]) -> ability.Ability:
    """Kept, because pages ask for it again and again; another result, age or estimate is another question."""
    return ability.fit(results, children)
