"""How results run over time and what may be said of it: the ledger as days, judged by `engine.progress`.

Values are those of the ledger, milliseconds or millimetres.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from uuid import UUID

from clubapp.engine import progress as engine
from clubapp.engine.progress import Day, Error, Progress, Verdict
from clubapp.people.models import Club
from clubapp.results import queries
from clubapp.results.models import Trial
from clubapp.results.queries import Bests, Run

Conditions = tuple[str, str]  # how it was timed, and on what ground


@dataclass(frozen=True)
class Point:
    """A child's day on a test, under one set of conditions. alike: it can be compared with the last."""

    on: date
    runs: tuple[Run, ...]
    alike: bool

    @property
    def mean(self) -> float:
        return sum(run.ms for run in self.runs) / len(self.runs)

    @property
    def best(self) -> Run:
        found = queries.best(self.runs)
        assert found is not None  # a day is made of runs that count
        return found


@dataclass(frozen=True)
class Line:
    """A child's results on one test, the oldest first. error and worthwhile: as far as they are known."""

    trial: Trial
    points: tuple[Point, ...]
    said: Progress
    error: Error | None
    worthwhile: float
    bests: Bests

    @property
    def alike(self) -> tuple[Point, ...]:
        return tuple(point for point in self.points if point.alike)

    @property
    def newest(self) -> Point:
        return self.points[-1]

    @property
    def ready(self) -> bool:
        """For a harder variant, by a rule of ours: better by more than chance on the last two days running."""
        return self.said.held

    @property
    def gain(self) -> float | None:
        """The change since the first comparable day in the test's own direction: more is better."""
        if len(self.alike) < 2:
            return None
        change = self.alike[-1].mean - self.alike[0].mean
        return -change if self.trial.less_is_better else change


class Book:
    """All that counts on one test of a club. Chance and what matters are known from everybody's days."""

    def __init__(self, trial: Trial, runs: Iterable[Run]) -> None:
        self.trial = trial
        self.days: dict[UUID, dict[tuple[date, Conditions], list[Run]]] = defaultdict(lambda: defaultdict(list))
        for run in runs:
            self.days[run.athlete_id][run.on, conditions(run)].append(run)
        self._known: dict[Conditions, tuple[Error | None, float]] = {}

    @cached_property
    def better(self) -> engine.Better:
        return engine.Better.LESS if self.trial.less_is_better else engine.Better.MORE

    def line(self, athlete_id: UUID) -> Line | None:
        """One child's; None for a child who has no result that counts."""
        if athlete_id not in self.days:
            return None
        found = sorted(self.days[athlete_id].items(), key=lambda entry: (entry[0][0], entry[1][0].at))
        last = found[-1][0][1]
        points = tuple(Point(on, tuple(runs), taken == last) for (on, taken), runs in found)
        days = [_day(on, taken, runs) for (on, taken), runs in found]
        error, worthwhile = self.known(last)
        level = engine.comparable(days)[0].mean
        mine = error.at(level) if error else None
        said = engine.judged(days, self.better, mine, worthwhile)
        runs = [run for point in points for run in point.runs]
        on = points[-1].on
        bests = queries.bests(runs, on=on, season_from=queries.season_from(on))
        return Line(self.trial, points, said, mine, worthwhile, bests)

    def known(self, taken: Conditions) -> tuple[Error | None, float]:
        """Under these conditions: how far chance moves a logarithm, and the smallest change that matters."""
        if taken not in self._known:
            children = [
                [_day(on, taken, runs) for (on, how), runs in days.items() if how == taken]
                for days in self.days.values()
            ]
            latest = [max(days, key=lambda day: day.on).mean for days in children if days]
            self._known[taken] = engine.error_of_logs(children), engine.worthwhile_change(latest)
        return self._known[taken]


def conditions(run: Run) -> Conditions:
    """What has to be the same for two days to be compared; "not written down" is a condition of its own."""
    return run.timing, run.rows[0].surface


def _day(on: date, taken: Conditions, runs: Iterable[Run]) -> Day:
    return Day(on.toordinal(), tuple(float(run.ms) for run in runs), taken)


def book(trial: Trial) -> Book:
    """Of one test; children who have left count for what chance is."""
    return Book(trial, (run for run in queries.runs(queries.current().filter(trial=trial)) if run.counts))


def lines_of(athlete_id: UUID, club: Club) -> list[Line]:
    """A child's lines on all tests it has a result on, by name of the test; tests put away too, for results stay."""
    tests = Trial.objects.filter(club=club, results__athlete=athlete_id).distinct().order_by("name", "code")
    found = (book(trial).line(athlete_id) for trial in tests)
    return [line for line in found if line is not None]


def lines_on(trial: Trial, athlete_ids: Iterable[UUID]) -> Mapping[UUID, Line]:
    """Of those children who have a result on a test."""
    kept = book(trial)
    return {child: line for child in athlete_ids if (line := kept.line(child)) is not None}


def verdict_for_family(said: Progress) -> Verdict:
    """A guardian hears of getting better, of too few tests, and of nothing else: "worse" is for the coach to see."""
    return Verdict.UNCLEAR if said.verdict is Verdict.WORSE else said.verdict
