"""Notices to guardians' phones: only to who asked, only where a push service is, and over with what they hang on."""

from __future__ import annotations

import json
import socket
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from clubapp.core import post
from clubapp.core.models import Outbox
from clubapp.core.registry import registry
from clubapp.family import push
from clubapp.family.models import Feed, PushSubscription
from clubapp.people import actions as people
from clubapp.people import sign_ins
from clubapp.people.models import Guardianship
from clubapp.planning import actions as planning
from tests.cast import Cast, make_guardian
from tests.family.push_service import PushService, claims_of

PAGE = reverse("family:notices")


@pytest.fixture
def service(settings: Any) -> Iterator[PushService]:
    with PushService() as running:
        settings.PUSH_SERVICES = (running.home,)
        yield running


def turn_on(cast: Cast, service: PushService, who: Any = None, name: str = "one", **topics: str) -> Client:
    client = cast.client(who or cast.greta)
    answer = client.post(PAGE, service.phone(name, **(topics or {"changes": "on", "messages": "on"})))
    assert answer.status_code == 200, answer.content
    return client


def call_off(cast: Cast, *, off: bool = True) -> None:
    cast.session.date = cast.club.today() + timedelta(days=1)
    cast.session.save()
    planning.call_off_session(session=cast.session, off=off, by=cast.hazel)


def test_access(cast: Cast, service: PushService) -> None:
    assert cast.client().get(PAGE).status_code == 302
    for name in ("sal", "olga", "hazel", "finn", "wanda"):
        client = cast.client(getattr(cast, name))
        assert {client.get(PAGE).status_code, client.post(PAGE, service.phone(changes="on")).status_code} == {404}
    assert not PushSubscription.objects.exists()


def test_who_asked_is_told_and_nobody_is_named(cast: Cast, service: PushService) -> None:
    """Greta wants changes, Gus messages; each gets the first notice and then only the own topic."""
    turn_on(cast, service, changes="on")
    turn_on(cast, service, cast.gus, "two", messages="on")
    call_off(cast)
    planning.write_message(squad=cast.squad, session=None, text="Bring a coat, Ada.", by=cast.hazel)
    while post.deliver():
        pass
    assert [(one.path, one.notice["notification"]["tag"]) for one in service.brought] == [
        ("/one", ""),
        ("/two", ""),
        ("/one", "session-changed"),
        ("/two", "message"),
    ]
    for one in service.brought:
        said = json.dumps(one.notice)
        words = ("Ada", "Greta", "Gus", "Saturday", "Alder", "River", "coat")
        assert not [word for word in words if word in said]
        assert one.notice["web_push"] == 8030
        assert one.notice["notification"]["navigate"].endswith("/family/")
        claims = claims_of(one.headers["authorization"])
        assert (claims["aud"], claims["sub"].startswith("mailto:")) == (service.home, True)
        assert 0 < int(one.headers["ttl"]) <= 24 * 60 * 60
    assert not Outbox.objects.filter(kind="push").exclude(text="", to="").exists()
    # Nothing of it stands on the head coach's page of mails, and the keys lie sealed.
    assert "Called off" in cast.client(cast.hazel).get(reverse("people:mails")).content.decode()
    assert all(row.kind != "push" for row in post.shown(cast.club.pk))


def test_a_phone_that_is_gone_is_forgotten_and_a_busy_service_asked_again(cast: Cast, service: PushService) -> None:
    turn_on(cast, service)
    now = timezone.now() + timedelta(seconds=1)
    for status in (503, 429, 307):
        service.status = status
        assert post.deliver(now) == 0
        row = Outbox.objects.get(kind="push")
        assert (row.refused, row.sent_at) == (False, None)
        now = row.due_at + timedelta(seconds=1)
    assert {one.path for one in service.brought} == {"/one"}  # no redirect was followed
    service.status = 410
    assert post.deliver(now) == 0
    assert Outbox.objects.get(kind="push").refused
    assert not PushSubscription.objects.exists()
    turn_on(cast, service)
    PushSubscription.objects.update(seen_at=timezone.now() - timedelta(days=46))
    assert post.deliver() == 0
    assert not PushSubscription.objects.exists()


def test_it_ends_with_what_it_hangs_on(cast: Cast, service: PushService) -> None:
    client = turn_on(cast, service)
    assert "checked" in client.get(PAGE).content.decode()
    call_off(cast)
    client.post(reverse("people:sign_out"))
    assert not PushSubscription.objects.exists()
    post.deliver()
    assert service.brought == []  # also what waited
    client = turn_on(cast, service)
    assert client.post(PAGE).json()["said"] == "This phone is told nothing more."
    assert not PushSubscription.objects.exists()
    turn_on(cast, service)
    sign_ins.end(cast.greta)
    assert not PushSubscription.objects.exists()
    # The same browser under another sign-in is the other adult's.
    turn_on(cast, service)
    turn_on(cast, service, cast.gus)
    assert [row.user for row in PushSubscription.objects.all()] == [cast.gus]
    tie = Guardianship.objects.get(guardian__user=cast.gus)
    people.remove_guardian(tie=tie, by=cast.hazel)
    assert not PushSubscription.objects.exists()
    make_guardian(cast.club, cast.sal, (cast.athletes[3],))
    turn_on(cast, service, cast.sal)
    people.erase_athlete(athlete=cast.athletes[3], by=cast.hazel)
    assert not PushSubscription.objects.exists()
    turn_on(cast, service)
    registry.restored["family"]()
    assert not PushSubscription.objects.exists()


def test_a_restriction_ends_calendar_and_phone_for_good(cast: Cast, service: PushService) -> None:
    """Greta has another child: she goes on seeing it, with an address made anew."""
    turn_on(cast, service)
    cast.client(cast.greta).post(reverse("family:calendar"))
    tie = Guardianship.objects.get(guardian__user=cast.greta, athlete=cast.ada)
    for restricted in (True, False):
        people.change_guardian(tie=tie, details=people.GuardianDetails("Greta", restricted=restricted), by=cast.hazel)
        assert (Feed.objects.count(), PushSubscription.objects.count()) == (0, 0)
    Outbox.objects.all().delete()
    call_off(cast)
    assert Outbox.objects.filter(kind="session changed").exists()
    assert not Outbox.objects.filter(kind="push").exists()


@pytest.mark.parametrize(
    ("endpoint", "right"),
    [
        ("https://fcm.googleapis.com/fcm/send/x", True),
        ("https://updates.push.services.mozilla.com/wpush/v2/x", True),
        ("https://web.push.apple.com:443/x", True),
        ("http://fcm.googleapis.com/x", False),
        ("https://fcm.googleapis.com:8080/x", False),
        ("https://fcm.googleapis.com.bad.example/x", False),
        ("https://badpush.apple.com/x", False),
        ("https://user@fcm.googleapis.com/x", False),
        ("https://127.0.0.1/x", False),
        ("https://[::1/x", False),
        ("file:///etc/passwd", False),
        ("", False),
    ],
)
def test_only_known_services_are_ever_asked(endpoint: str, right: bool) -> None:
    assert push.is_allowed(endpoint) is right


@pytest.mark.parametrize("address", ["10.0.0.7", "127.0.0.1", "169.254.169.254", "::1", "fd00::7"])
def test_no_address_inside_a_house(monkeypatch: pytest.MonkeyPatch, address: str) -> None:
    monkeypatch.setattr(socket, "getaddrinfo", lambda *_, **__: [(0, 0, 0, "", (address, 0))])
    assert push.is_public("https://fcm.googleapis.com/x") is False


def test_what_is_no_phone_is_refused(cast: Cast, service: PushService) -> None:
    good = service.phone(changes="on")
    client = cast.client(cast.greta)
    for bad in ({"endpoint": "https://alder.example/x"}, {"p256dh": "AAAA"}, {"auth": "AAAA"}, {"p256dh": "§"}):
        answer = client.post(PAGE, good | bad)
        assert (answer.status_code, bool(answer.json()["error"])) == (422, True), bad
    assert not PushSubscription.objects.exists()


def test_without_the_extra_the_page_says_so(cast: Cast, service: PushService, monkeypatch: pytest.MonkeyPatch) -> None:
    turn_on(cast, service)
    monkeypatch.setattr(push, "is_installed", lambda: False)
    html = cast.client(cast.greta).get(PAGE).content.decode()
    assert "cannot send notices to phones" in html
    assert "js/push" not in html
    assert cast.client(cast.greta).post(PAGE, service.phone(changes="on")).status_code == 422
    Outbox.objects.all().delete()
    call_off(cast)
    assert {row.kind for row in Outbox.objects.all()} == {"session changed"}
