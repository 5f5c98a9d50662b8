"""The demo: plausible, the same however often it is loaded, and kept away from anybody's own club."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from django.db import transaction
from django.test import Client
from pytest_django import DjangoDbBlocker

from clubapp.desk.demo import load as loading
from clubapp.desk.demo import scenario
from clubapp.desk.demo.calendar import saturday
from clubapp.desk.demo.load import load, soon
from clubapp.engine.words import completed_years
from clubapp.games.models import Game
from clubapp.people.models import Athlete, Club, MedicalNote, Membership, PairRule, Role, User
from clubapp.planning.models import Session, Station
from clubapp.register import attendance
from clubapp.register import queries as register
from clubapp.register.models import Mark
from clubapp.results.models import Result
from tests.browser.servers import Served

PLAYED = ("heats", "relays", "handicaps", "freeze", "stopgo", "small")

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module", autouse=True)
def passwords(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[dict[str, str]]:
    """Loaded once; what a test writes after it is undone."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield load()
        transaction.set_rollback(True)


COUNTED = (Club, User, Athlete, Session, Station, Mark, Result, PairRule, MedicalNote)


def counts() -> dict[str, int]:
    return {model.__name__: model.objects.count() for model in COUNTED}


def test_the_club_is_the_promised_one() -> None:
    club = Club.objects.get()
    today = club.today()
    children = list(Athlete.objects.filter(club=club))
    ages = [completed_years(child.date_of_birth, today) for child in children if child.date_of_birth]
    assert (len(children), min(ages), max(ages)) == (26, 7, 14)
    assert len(register.first_timers(club, before=today)) == 6
    assert MedicalNote.objects.count() == 2
    assert PairRule.objects.count() == len(scenario.PAIRS)
    assert Result.objects.values("athlete").distinct().count() == 25
    assert Membership.objects.filter(role=Role.ASSISTANT).count() == 3
    assert club.guardians.exclude(user=None).count() == 2
    played = {(game.kind, game.state, game.session.date) for game in Game.objects.select_related("session")}
    assert played == {(kind, "over", saturday(today, 1)) for kind in PLAYED}


def test_six_saturdays_lie_behind_it_and_a_session_is_ready() -> None:
    club = Club.objects.get()
    past = Session.objects.filter(date__lt=club.today())
    assert [session.date.weekday() for session in past] == [5] * 6
    came = attendance.who_came([session.pk for session in past])
    assert all(came[session.pk] and register.finished(session.pk) for session in past)
    assert [session for session in past if register.waiting(session.pk)] == []
    today = Session.objects.get(date=club.today())
    assert today.stations.count() == 6
    assert not Mark.objects.filter(session=today).exists()


def test_loading_twice_adds_nothing_but_renews_the_passwords(passwords: dict[str, str]) -> None:
    before = counts()
    second = load()
    assert counts() == before
    assert not set(passwords.values()) & set(second.values())


def test_every_adult_can_sign_in(passwords: dict[str, str]) -> None:
    for email, password in passwords.items():
        assert Client().login(username=email, password=password), email


def test_the_command_says_how_to_sign_in(tmp_path: Path) -> None:
    with Served(tmp_path, "demo", empty=True) as served:
        printed = "\n".join(served.start())
    for adult in loading.demo_adults():
        assert re.search(rf"{adult.email} +\S{{4}}-\S{{4}}-\S{{4}}$", printed, re.M), printed
    for role in ("head coach", "assistant", "guardian"):
        assert role in printed


def test_a_later_day_gets_its_session() -> None:
    Session.objects.filter(date=Club.objects.get().today()).update(date=date(2020, 1, 4))
    before = counts()
    load()
    assert counts() == before | {"Session": before["Session"] + 1, "Station": before["Station"] + 6}


def test_fresh_starts_over() -> None:
    Athlete.objects.filter(given_name="Ansel").update(given_name="Somebody")
    before = counts()
    load(fresh=True)
    assert counts() == before
    assert not Athlete.objects.filter(given_name="Somebody").exists()


@pytest.mark.parametrize(
    ("today", "week", "expected"),
    [
        (date(2026, 11, 25), 1, date(2026, 11, 21)),
        (date(2026, 11, 28), 1, date(2026, 11, 21)),
        (date(2026, 11, 29), 1, date(2026, 11, 28)),
        (date(2026, 11, 25), 6, date(2026, 10, 17)),
    ],
)
def test_the_saturdays_before_a_day(today: date, week: int, expected: date) -> None:
    assert saturday(today, week) == expected


@pytest.mark.parametrize(("now", "expected"), [("14:02:30", "14:05"), ("14:05:00", "14:10"), ("23:58:10", "23:58")])
def test_the_session_starts_soon_and_today(now: str, expected: str) -> None:
    moment = datetime.fromisoformat(f"2026-11-25T{now}").replace(tzinfo=UTC)
    assert f"{soon(moment):%H:%M}" == expected
