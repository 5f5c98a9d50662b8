"""What rings is heard of on the pages beside the bell: at once by the leader, after twenty seconds by all."""

from __future__ import annotations

from datetime import timedelta
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from clubapp.live.models import Room
from tests.cast import Cast
from tests.live.evening import give, helper, leader, pass_of, ready
from tests.live.field import field_of, hear, say


def heard(client: Client, cast: Cast) -> str:
    answer = client.get(reverse("live:rings", args=[cast.session.pk]))
    assert answer.status_code == 200
    assert "no-store" in answer["Cache-Control"]
    return unescape(answer.content.decode()).strip()


@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda"])
def test_outsiders_hear_nothing(cast: Cast, who: str) -> None:
    ready(cast)
    say(cast, cast.ada, "missing", round=1)
    assert cast.client(getattr(cast, who)).get(reverse("live:rings", args=[cast.session.pk])).status_code == 404


def test_a_helper_at_the_gate_hears_nothing(cast: Cast) -> None:
    ready(cast)
    outside, _visitor = helper(pass_of(cast), None)
    assert outside.get(reverse("live:rings", args=[cast.session.pk])).status_code == 302


def test_a_missing_child_rings_the_leader_at_once_and_everybody_when_nobody_sees_to_it(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    ready(cast)
    hazel, finn = cast.client(cast.hazel), cast.client(cast.finn)
    assert heard(hazel, cast) == ""
    say(cast, cast.ada, "missing", round=1)
    assert "Ada" in heard(hazel, cast)
    assert reverse("live:bell", args=[cast.session.pk]) in heard(hazel, cast)
    assert heard(finn, cast) == ""
    later = timezone.now() + timedelta(seconds=25)
    monkeypatch.setattr("clubapp.live.watch.timezone.now", lambda: later)
    assert "Ada" in heard(finn, cast)


def test_what_somebody_sees_to_is_quiet(cast: Cast) -> None:
    ready(cast)
    say(cast, cast.ada, "missing", round=1)
    (alarm,) = field_of(cast).alarms
    hear(cast, alarm.id, leader(cast), round=1, settled=True)
    assert heard(cast.client(cast.hazel), cast) == ""


@pytest.mark.parametrize(("who", "listens"), [("hazel", True), ("finn", True), ("sal", False), ("greta", False)])
def test_pages_beside_a_running_bell_listen(cast: Cast, who: str, listens: bool) -> None:
    ready(cast)
    give(leader(cast), "start")
    client, address = cast.client(getattr(cast, who)), f'data-rings="{reverse("live:rings", args=[cast.session.pk])}"'
    page = client.get("/", follow=True).content.decode()
    assert (address in page) == listens
    Room.objects.update(ended_at=timezone.now())
    assert address not in client.get("/", follow=True).content.decode()


def test_nothing_is_asked_for_before_the_bell_has_begun(cast: Cast) -> None:
    assert "data-rings" not in cast.client(cast.hazel).get("/", follow=True).content.decode()
