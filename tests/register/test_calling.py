"""Whom to ring: who may look, what each sees, and that every look is kept."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse

from clubapp.core import keeping
from clubapp.core.models import AuditLog
from clubapp.people.models import Guardianship
from clubapp.register import actions
from tests.browser.fill import begin_now
from tests.cast import Cast, make_guardian


@pytest.fixture
def here(cast: Cast) -> Cast:
    """Ada, who has two adults, and Cleo, who has one, are here. Bo is not. The session is on, whatever the hour."""
    begin_now(cast)
    gus = make_guardian(cast.club, cast.gus, (cast.ada,))
    gus.phone = "07700 900456"
    gus.save()
    Guardianship.objects.filter(guardian=gus).update(emergency_order=2)
    for child in (cast.ada, cast.athletes[2]):
        actions.mark_here(session=cast.session, athlete=child, tap=actions.Tap(cast.finn))
    return cast


def page(cast: Cast) -> str:
    return reverse("register:emergency", args=[cast.session.pk])


def test_the_leader_sees_every_number_of_the_children_who_are_here(here: Cast) -> None:
    html = here.client(here.hazel).get(page(here)).content.decode()
    assert "tel:+447700900123" in html
    assert "tel:07700900456" in html
    assert "Bo Reed" not in html


def test_an_assistant_sees_the_one_to_ring_first(here: Cast) -> None:
    html = here.client(here.finn).get(page(here)).content.decode()
    assert "tel:+447700900123" in html
    assert "tel:07700900456" not in html


def test_every_look_is_in_the_log(here: Cast) -> None:
    here.client(here.finn).get(page(here))
    rows = AuditLog.objects.filter(verb="read", kind="emergency number", user=here.finn)
    assert {row.about for row in rows} == {here.ada.pk, here.athletes[2].pk}


@pytest.mark.parametrize("who", ["greta", "sal", "olga"])
def test_nobody_else_gets_in(here: Cast, who: str) -> None:
    assert here.client(getattr(here, who)).get(page(here)).status_code == 404
    assert not AuditLog.objects.filter(kind="emergency number").exists()


def test_the_hour_it_goes_is_the_club_s_own(here: Cast) -> None:
    here.club.time_zone = "Asia/Kolkata"  # half an hour beside every whole one
    here.club.save()
    begin_now(here)
    here.session.refresh_from_db()
    html = here.client(here.hazel).get(page(here)).content.decode()
    last = (here.session.ends_at + keeping.AFTER_END).astimezone(here.club.zone)
    assert f"Kept on this phone until {last:%H:%M}." in html


def test_on_another_day_the_page_is_not_there(here: Cast) -> None:
    here.session.date -= timedelta(days=2)  # the leader keeps it for a day
    here.session.save()
    assert here.client(here.hazel).get(page(here)).status_code == 404
