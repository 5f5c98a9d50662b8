"""Reads over the ledger."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from django.db.models import QuerySet

from clubapp.people.models import Club
from clubapp.results import measures
from clubapp.results.models import SPEED, Result, Trial

Timing, State = Result.Timing, Result.State
SEASON_MONTH = 9
ONE_RUN = timedelta(seconds=60)  # watches of one run are stopped together; phones' clocks differ by less


@dataclass(frozen=True)
class Run:
    """One run of one child, by as many watches as saw it. rows: what each of them says, in the order it came."""

    rows: tuple[Result, ...]

    @property
    def athlete_id(self) -> UUID:
        return self.rows[0].athlete_id

    @property
    def trial(self) -> Trial:
        return self.rows[0].trial

    @property
    def on(self) -> date:
        return self.rows[0].on

    @property
    def timing(self) -> str:
        return self.rows[0].timing

    @property
    def attempt(self) -> int:
        return self.rows[0].attempt

    @property
    def at(self) -> datetime:
        return moment(self.rows[0])

    @property
    def watches(self) -> int:
        return len(self.rows)

    @property
    def counts(self) -> bool:
        """One adult who saw the child slip is enough."""
        return all(row.state == State.COUNTS for row in self.rows)

    @property
    def doubtful(self) -> bool:
        return any(row.doubtful for row in self.rows)

    @property
    def in_tenths(self) -> bool:
        return self.trial.hand_rounding and self.timing == Timing.HAND

    @property
    def ms(self) -> int:
        """What counts, in milliseconds or millimetres: each reading rounded as the test says, then made one."""
        return measures.counted([row.value_ms for row in self.rows], self.trial, in_tenths=self.in_tenths)

    @property
    def text(self) -> str:
        return measures.text(self.ms, self.trial.unit, in_tenths=self.in_tenths)


def moment(row: Result) -> datetime:
    """When the child finished, as well as it is known."""
    return row.ran_at or row.tapped_at


def current() -> QuerySet[Result]:
    """What stands: not corrected since, not taken back; in the order it came."""
    rows = Result.objects.filter(replaced_by__isnull=True).exclude(state=State.VOID).select_related("trial")
    return rows.order_by("on", "received_at", "pk")


def runs(rows: Iterable[Result]) -> list[Run]:
    """Rows of one run made one: same child, test, day, attempt, by hand, each of another phone, within a minute."""
    found: dict[tuple[Any, ...], list[list[Result]]] = defaultdict(list)
    for row in rows:
        of_child = found[_key(row)]
        together = next((run for run in of_child if _is_of(row, run)), None)
        if together is None:
            of_child.append([row])
        else:
            together.append(row)
    return [Run(tuple(run)) for of_child in found.values() for run in of_child]


def _is_of(row: Result, run: list[Result]) -> bool:
    if row.timing != Timing.HAND or not row.device:
        return False
    return abs(moment(row) - moment(run[0])) <= ONE_RUN and all(other.device != row.device for other in run)


def _key(row: Result) -> tuple[Any, ...]:
    return row.athlete_id, row.trial_id, row.on, row.attempt, row.timing


def run_of(row: Result) -> Run:
    """The run a row belongs to; one that was taken back stands for itself."""
    rows = current().filter(athlete=row.athlete_id, trial=row.trial_id, on=row.on, attempt=row.attempt)
    return next((run for run in runs(rows) if row in run.rows), Run((row,)))


def best(of: Iterable[Run]) -> Run | None:
    """The best that counts, of runs on one test, in its own direction; the earlier of equals."""
    counting = [run for run in of if run.counts]
    if not counting:
        return None
    sign = 1 if counting[0].trial.less_is_better else -1
    return min(counting, key=lambda run: (sign * run.ms, run.at))


@dataclass(frozen=True)
class Bests:
    """The best of a day, of the season so far, of all days up to that one and before it; None where nothing counts."""

    day: Run | None
    season: Run | None
    ever: Run | None
    before: Run | None

    @property
    def is_personal(self) -> bool:
        """Whether the day's best is better than every one before; the first day has none to be better than."""
        return self.before is not None and self.day is not None and self.day is self.ever


def bests(of: Iterable[Run], *, on: date, season_from: date) -> Bests:
    """Of one child's runs on one test up to a day, taken as that day's were: by hand or not."""
    until = [run for run in of if run.on <= on]
    day = best(run for run in until if run.on == on)
    alike = [run for run in until if day is None or run.timing == day.timing]
    season, before = (run for run in alike if run.on >= season_from), (run for run in alike if run.on < on)
    return Bests(day, best(season), best(alike), best(before))


def runs_until(athlete_ids: Iterable[UUID], on: date) -> list[Run]:
    """Everything these children ran up to and with a day."""
    return runs(current().filter(athlete__in=list(athlete_ids), on__lte=on))


def runs_on(athlete_ids: Iterable[UUID], on: date) -> list[Run]:
    """Everything these children ran on a day."""
    return runs(current().filter(athlete__in=list(athlete_ids), on=on))


def season_from(on: date) -> date:
    """The season of a day begins on 1 September, with the school year: a child runs it in one year of age group."""
    return date(on.year if on.month >= SEASON_MONTH else on.year - 1, SEASON_MONTH, 1)


def trials_of(club: Club) -> QuerySet[Trial]:
    """A club's tests by name, without those put away."""
    return Trial.objects.filter(club=club, archived_at=None).order_by("name", "code")


def archived_codes(club: Club) -> set[str]:
    return set(Trial.objects.filter(club=club).exclude(archived_at=None).values_list("code", flat=True))


def latest_seconds(athlete_ids: Iterable[UUID], code: str = SPEED) -> dict[UUID, float]:
    """Each child's newest value of the club's trial `code`, in seconds."""
    return {child: value_ms / 1000 for child, value_ms in latest_milliseconds(athlete_ids, code).items()}


def latest_milliseconds(athlete_ids: Iterable[UUID], code: str = SPEED) -> dict[UUID, int]:
    """Each child's newest value of the club's trial `code` that counts; a corrected or slipped one does not."""
    rows = current().filter(athlete__in=list(athlete_ids), trial__code=code)
    return {run.athlete_id: run.ms for run in runs(rows) if run.counts}


def export_child(athlete_id: UUID) -> list[dict[str, Any]]:
    """All of a child's results, the corrected ones too, oldest first."""
    rows = Result.objects.filter(athlete=athlete_id).select_related("trial").order_by("on", "received_at", "pk")
    return [
        {
            "test": row.trial.name,
            "on": row.on.isoformat(),
            "seconds" if row.trial.is_timed else "metres": row.value_ms / 1000,
            "taken": row.get_timing_display(),
            "ground": row.get_surface_display(),
            "wind": row.get_wind_display(),
            "shoes": row.get_shoes_display(),
            "attempt": row.attempt,
            "state": row.get_state_display(),
            "corrects": str(row.replaces_id or ""),
            "id": str(row.pk),
        }
        for row in rows
    ]
