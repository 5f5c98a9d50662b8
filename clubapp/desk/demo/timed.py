"""Four months of timed tests behind the demo club: the sprint by hand and once with gates, and the long jump."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from random import Random

from clubapp.desk.demo import scenario
from clubapp.desk.demo.calendar import saturday
from clubapp.people.models import Athlete, Club, User
from clubapp.results import actions, library
from clubapp.results.actions import Conditions, Reading, Sent
from clubapp.results.models import Result

SPRINT, LONG_JUMP = "sprint-20-m", "standing-long-jump"
GRASS, HALL = Result.Surface.GRASS, Result.Surface.HALL
HAND, GATES = Result.Timing.HAND, Result.Timing.ELECTRONIC


@dataclass(frozen=True)
class Day:
    """So many weeks ago, a Saturday morning."""

    weeks: int
    test: str
    timing: str = HAND
    surface: str = GRASS


DAYS = (
    Day(17, SPRINT),
    Day(15, LONG_JUMP),
    Day(13, SPRINT),
    Day(11, LONG_JUMP),
    Day(10, SPRINT, GATES, HALL),
    Day(8, SPRINT),
    Day(6, LONG_JUMP),
    Day(4, SPRINT),
    Day(3, LONG_JUMP),
)
ATTEMPTS = 2
# How much better, or worse, a child became in these months; everybody else by a hundredth.
GAINS = {"m05": 0.09, "m09": 0.12, "m12": 0.07, "m19": 0.08, "m20": -0.09}


def write_results(club: Club, by: User) -> None:
    """Whoever was known before this record began took part; the others came later."""
    roster = {child.roster_id: child for child in Athlete.objects.filter(club=club).select_related("club")}
    readings = [reading for day in DAYS for reading in _readings(day, club, roster)]
    actions.bring_in(readings=readings, sent=Sent(by))


def _readings(day: Day, club: Club, roster: Mapping[str, Athlete]) -> Iterator[Reading]:
    trial = actions.ensure_trial(club=club, test=library.standards()[day.test].starter)
    begun = datetime.combine(saturday(club.today(), day.weeks), time(10, 20), club.zone)
    for child, attempt, value in _values(day):
        yield Reading(
            trial,
            roster[child.id],
            value,
            timing=day.timing if day.test == SPRINT else "",
            attempt=attempt,
            ran_at=begun + timedelta(minutes=3 * attempt),
            conditions=Conditions(surface=day.surface),
        )


def _values(day: Day) -> Iterator[tuple[scenario.Child, int, int]]:
    """The same every time: each child's level from its 40 m, its own way over the months, and chance."""
    first, last = DAYS[0].weeks, DAYS[-1].weeks
    for child in scenario.CHILDREN:
        if child.speed_s is None or not child.known_before:
            continue
        lot = Random(f"{child.id} {day.weeks}")
        gain = GAINS.get(child.id, 0.01) * (first - day.weeks) / (first - last)
        form = lot.gauss(0, 0.008)
        for attempt in range(1, ATTEMPTS + 1):
            better = 1 + gain + form + lot.gauss(0, 0.008)
            if day.test == SPRINT:
                yield child, attempt, round(1000 * (0.42 + 0.49 * child.speed_s) / better)
            else:
                yield child, attempt, round(12_000 / child.speed_s * better)
