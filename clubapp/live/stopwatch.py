"""What the stop-watch's page needs to know, and an evening's times for the coach, always in the order of the list."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from django.urls import reverse
from django.utils.text import slugify
from django.utils.translation import gettext as _

from clubapp.games import handicaps_watch
from clubapp.live.page import Evening
from clubapp.planning.models import Session, Station
from clubapp.register.queries import expected
from clubapp.results import catalogue, queries
from clubapp.results.catalogue import Listed
from clubapp.results.models import SPEED
from clubapp.results.queries import Run
from clubapp.results.starters import Starter

CODE = 40


def tests(session: Session, station: Station | None) -> list[Starter]:
    """What can be timed: what this station does, tests the club has used, then the other standard ones."""
    return _in_order(session, station, [test for test in catalogue.offered(session.club) if test.row.is_timed])


def _in_order(session: Session, station: Station | None, listed: Iterable[Listed]) -> list[Starter]:
    here = [Starter(_code(station), station.name)] if station else []
    found = {test.code: test for test in here}
    for test in sorted(listed, key=lambda test: not test.is_stored):
        found.setdefault(test.code, test.starter)
    # What the groups go by is timed only by who chooses to.
    return [found[code] for code in sorted(found, key=lambda code: code == SPEED)]


def _code(station: Station) -> str:
    """The same name on another day is the same test."""
    return f"station-{slugify(station.name) or station.pk.hex}"[:CODE]


def test_by_code(session: Session, station: Station | None, code: str) -> Starter | None:
    """One that was put away, too: a time may have waited on a phone meanwhile."""
    timed = [test for test in catalogue.of_club(session.club) if test.row.is_timed]
    return next((test for test in _in_order(session, station, timed) if test.code == code), None)


def offered(evening: Evening, station: Station | None) -> list[Starter]:
    """Tests, and for adults with an account the handicap races that are to be entered."""
    races = handicaps_watch.to_time(evening.session.pk) if evening.watcher.user else []
    return [*tests(evening.session, station), *(Starter(race.code, race.name) for race in races)]


def for_phone(evening: Evening, station: Station | None) -> dict[str, Any]:
    """attempts: by test and child, how many the club knows of today."""
    session = evening.session
    exact = set(queries.trials_of(session.club).filter(hand_rounding=False).values_list("code", flat=True))
    attempts: dict[str, dict[str, int]] = defaultdict(dict)
    for run in queries.runs_on(evening.here, session.date):
        of_test = attempts[run.trial.code]
        of_test[str(run.athlete_id)] = max(run.attempt, of_test.get(str(run.athlete_id), 0))
    return {
        "session": str(session.pk),
        "station": str(station.pk) if station else "",
        "url": reverse("live:result", args=[session.pk]),
        "tests": [
            {"code": test.code, "name": test.name, "tenths": test.code not in exact}
            for test in offered(evening, station)
        ],
        "attempts": attempts,
    }


@dataclass(frozen=True)
class ChildTimes:
    """One child on one test: every run of the day in order. best: of them; personal: better than on any day before."""

    name: str
    runs: tuple[Run, ...]
    best: Run | None
    personal: bool


@dataclass(frozen=True)
class TimesOnTest:
    """One test of the evening. untimed: who is here and was not timed on it."""

    name: str
    children: tuple[ChildTimes, ...]
    untimed: tuple[str, ...]


def times_of(session: Session, names: dict[UUID, str], here: Iterable[UUID]) -> list[TimesOnTest]:
    """What arrived tonight. Never ranked: the order is the list's."""
    found: dict[str, dict[UUID, list[Run]]] = defaultdict(lambda: defaultdict(list))
    titles: dict[str, str] = {}
    for run in queries.runs_until(list(expected(session).values_list("pk", flat=True)), session.date):
        found[run.trial.code][run.athlete_id].append(run)
        if run.on == session.date and run.timing:  # others came with a roster
            titles[run.trial.code] = run.trial.name
    codes = sorted(titles, key=lambda code: titles[code].casefold())
    return [TimesOnTest(titles[code], *_children(session, found[code], names, set(here))) for code in codes]


def _children(
    session: Session, runs: dict[UUID, list[Run]], names: dict[UUID, str], here: set[UUID]
) -> tuple[tuple[ChildTimes, ...], tuple[str, ...]]:
    """Who was timed today, and the names of those who are here and were not."""
    today = {child for child, own in runs.items() if any(run.on == session.date and run.timing for run in own)}
    timed = tuple(_child(names.get(child, ""), runs[child], session.date) for child in _listed(today, names))
    return timed, tuple(names.get(child, "") for child in _listed(here - today, names))


def _listed(children: Iterable[UUID], names: dict[UUID, str]) -> list[UUID]:
    return sorted(children, key=lambda child: (names.get(child, "").casefold(), str(child)))


def _child(name: str, runs: list[Run], on: date) -> ChildTimes:
    today = sorted((run for run in runs if run.on == on and run.timing), key=lambda run: (run.attempt, run.at))
    found = queries.bests([run for run in runs if run.on < on] + today, on=on, season_from=on)
    return ChildTimes(name, tuple(today), found.day if len(today) > 1 else None, found.is_personal)


def words() -> dict[str, str]:
    """Every sentence the stop-watch's script says; %s stands for what it fills in."""
    return {
        "start": _("Start"),
        "finish": _("Finish"),
        "finish_more": _("Finish: %s in"),
        "stop": _("Stop"),
        "start_child": _("Start %s"),
        "next": _("Next: %s"),
        "again": _("%s again"),
        "all_in": _("All in"),
        "back": _("Take the last one back"),
        "go_on": _("One more to come"),
        "new_run": _("Next run"),
        "choose": _("Tap a child to time"),
        "nobody": _("Nobody stands here now. Choose “everybody here” above, or mark the register first."),
        "name_it": _("Who came in %s? Tap the name."),
        "named": _("All named. Tap a row to change its name."),
        "no_name": _("no name yet"),
        "earlier": _("Earlier, without a name"),
        "both": _("Two at once"),
        "drop": _("Not a finisher"),
        "free": _("Take the name off"),
        "slipped": _("Slipped"),
        "not_slipped": _("Did not slip"),
        "redo": _("Redo"),
        "redoing": _("Runs again: the new time takes the place of %s"),
        "keep_old": _("Keep the old time"),
        "void": _("taken back"),
        "waiting": _("kept here, not sent yet"),
        "taken": _("with the club"),
        "watches": _("%s watches"),
        "everybody": _("Everybody here"),
        "round": _("Round %s"),
        "now": _("now"),
        "doubt": _("This phone's clock was moved while it ran. The time may be wrong: run it again if it matters."),
        "doubtful": _("clock was moved"),
        "unkept": _("This phone cannot keep times when the page is closed. Write them on paper too."),
        "not_kept": _("This phone could not keep that tap. Write it on paper."),
        "running": _("The watch runs"),
        "elsewhere": _("This watch goes on in another tab of this phone. Load this page again to have it here."),
        "seconds": _("%s seconds"),
    }
