"""A guardian's calendar: what stands in it, who has one, and when it is over."""

from __future__ import annotations

import re
from datetime import timedelta

from django.db import connection
from django.urls import reverse
from icalendar import Calendar, Event

from clubapp.family.models import Feed
from clubapp.people import actions as people
from clubapp.people.models import Guardianship
from clubapp.planning import actions as planning
from clubapp.planning.models import Session
from tests.cast import Cast

PAGE = reverse("family:calendar")


def address(cast: Cast) -> str:
    page = cast.client(cast.greta).post(PAGE).content.decode()
    found = re.search(r"/family/calendar/[^/\"]+\.ics", page)
    assert found
    return found[0]


def event(cast: Cast, path: str) -> Event:
    answer = cast.client().get(path)
    assert answer.status_code == 200
    assert answer["Content-Type"].startswith("text/calendar")
    assert "no-store" in answer["Cache-Control"]
    return next(
        row for row in Calendar.from_ical(answer.content).walk("VEVENT") if row["UID"].startswith(str(cast.session.pk))
    )


def move(cast: Cast, **more: object) -> None:
    row = Session.objects.get(pk=cast.session.pk)
    kept = {name: getattr(row, name) for name in ("date", "starts", "minutes", "place", "adults")}
    planning.change_session(session=row, details=planning.SessionDetails(**{**kept, **more}), by=cast.hazel)


def test_only_guardians_have_one(cast: Cast) -> None:
    assert cast.client().get(PAGE).status_code == 302
    for name in ("sal", "finn", "hazel", "wanda", "olga"):
        client = cast.client(getattr(cast, name))
        assert {client.get(PAGE).status_code, client.post(PAGE).status_code} == {404}, name
    assert not Feed.objects.exists()


def test_it_follows_the_session_and_says_nothing_of_a_child(cast: Cast) -> None:
    path = address(cast)
    first = event(cast, path)
    assert first.start == cast.session.starts_at
    assert first["DTSTART"].params["TZID"] == "Europe/London"
    assert first["SEQUENCE"] == 0
    move(cast, adults=7)  # nothing to a family
    assert event(cast, path)["SEQUENCE"] == 0
    move(cast, date=cast.session.date + timedelta(days=1), place="Mill hall")
    moved = event(cast, path)
    assert (moved["UID"], moved["SEQUENCE"], moved["LOCATION"]) == (first["UID"], 1, "Mill hall")
    assert moved.start == cast.session.starts_at + timedelta(days=1)
    planning.call_off_session(session=Session.objects.get(pk=cast.session.pk), off=True, by=cast.hazel)
    off = event(cast, path)
    assert (off["UID"], off["SEQUENCE"], off["STATUS"]) == (first["UID"], 2, "CANCELLED")
    body = cast.client().get(path).content.decode()
    assert "BEGIN:VTIMEZONE" in body
    assert not [name for child in cast.athletes for name in (child.given_name, child.family_name) if name in body]
    assert cast.other_squad.name not in body or cast.other_squad.name == cast.squad.name
    assert body.count("BEGIN:VEVENT") == 1  # two children in one squad, one session


def test_the_token_is_kept_as_a_hash_and_can_be_taken_back(cast: Cast) -> None:
    first = address(cast)
    token = first.rsplit("/", 1)[1].removesuffix(".ics")
    with connection.cursor() as cursor:
        cursor.execute("SELECT token_hash FROM family_feed")
        assert token not in cursor.fetchone()[0]
    second = address(cast)
    assert cast.client().get(first).status_code == 404
    assert cast.client().get(second).status_code == 200
    assert cast.client().post(second).status_code == 405
    cast.client(cast.greta).post(PAGE, {"end": "yes"})
    assert cast.client().get(second).status_code == 404


def test_it_dies_with_a_restriction_and_with_the_tie(cast: Cast) -> None:
    path = address(cast)
    ties = list(Guardianship.objects.filter(guardian__user=cast.greta))
    for tie in ties:
        details = people.GuardianDetails(name=tie.guardian.name, restricted=True)
        people.change_guardian(tie=tie, details=details, by=cast.hazel)
    assert cast.client().get(path).status_code == 404
    for tie in ties:
        people.change_guardian(tie=tie, details=people.GuardianDetails(name="Greta"), by=cast.hazel)
    # Lifted: an address that may have gone astray does not come back with it.
    assert cast.client().get(path).status_code == 404
    path = address(cast)
    assert cast.client().get(path).status_code == 200
    for tie in ties:
        people.remove_guardian(tie=tie, by=cast.hazel)
    assert cast.client().get(path).status_code == 404
