"""Whose phones are there: heard by socket or by request, shown to the leader alone, and never an alarm."""

from __future__ import annotations

import time
from html import unescape

import pytest
from django.core.cache import cache
from django.urls import reverse

from clubapp.live import presence
from tests.cast import Cast
from tests.live.evening import helper, pass_of, post, ready
from tests.live.sockets import Phone, in_database


def listed(cast: Cast) -> str:
    answer = cast.client(cast.hazel).get(reverse("live:phones", args=[cast.session.pk]))
    assert answer.status_code == 200
    return " ".join(unescape(answer.content.decode()).split())


@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda", "finn"])
def test_only_the_leader_sees_the_list(cast: Cast, who: str) -> None:
    path = reverse("live:phones", args=[cast.session.pk])
    assert cast.client(getattr(cast, who)).get(path).status_code == 404
    assert cast.client().get(path).status_code == 302


def test_a_phone_that_asks_by_request_is_heard(cast: Cast) -> None:
    ready(cast)
    assert presence.phones_of(cast.session) == []
    cast.client(cast.finn).get(reverse("live:state", args=[cast.session.pk]))
    (phone,) = presence.phones_of(cast.session)
    assert (phone.name, phone.connected, phone.station) == ("Finn", True, None)
    assert "1 phone connected" in listed(cast)


def test_since_when_a_phone_is_silent_is_said(cast: Cast) -> None:
    ready(cast)
    station = cast.session.stations.get(number=2)
    post(cast.client(cast.finn), "hold", cast.session, station=station.pk)
    cache.set(presence._key(cast.session.pk, cast.finn.pk), time.time() - 190)
    text = listed(cast)
    assert "0 phones connected" in text
    assert "last heard 3 min ago" in text
    (phone,) = presence.phones_of(cast.session)
    assert phone.station == station


def test_stations_without_a_phone_are_named_and_raise_no_alarm(cast: Cast) -> None:
    ready(cast)
    station = cast.session.stations.get(number=2)
    post(cast.client(cast.finn), "hold", cast.session, station=station.pk)
    text = listed(cast)
    assert "no phone" in text
    assert "Nobody's phone:" in text
    assert "trouble" not in text
    assert 'role="alert"' not in text


def test_a_helper_who_was_sent_away_is_not_listed(cast: Cast) -> None:
    ready(cast)
    client, visitor = helper(pass_of(cast), cast.hazel, "Una")
    client.get(reverse("live:state", args=[cast.session.pk]))
    assert [phone.name for phone in presence.phones_of(cast.session)] == ["Una"]
    post(cast.client(cast.hazel), "refuse", cast.session, visitor=visitor.pk)
    assert presence.phones_of(cast.session) == []


@pytest.mark.django_db(transaction=True)
async def test_a_phone_that_pings_is_heard(transactional_db: None) -> None:
    from tests.cast import make_cast

    cast = await in_database(make_cast)()
    client = await in_database(cast.client)(cast.finn)
    async with Phone(client, cast.session.pk) as phone:
        await phone.say({"type": "ping", "t0": 1})
        await phone.hear("pong")
    (heard,) = await in_database(presence.phones_of)(cast.session)
    assert (heard.name, heard.connected) == ("Finn", True)
