"""Handing the session over: who may, to whom, and what it gives and does not give."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse

from clubapp.core.models import AuditLog
from clubapp.core.tell import version_of
from clubapp.live.access import Role, Watcher, find
from clubapp.live.actions import RefusedError
from clubapp.live.actions.lead import hand_over
from clubapp.people.models import Membership
from clubapp.people.models import Role as ClubRole
from tests.cast import Cast, UserFactory
from tests.live.evening import assistant, leader, post, ready, tap


def test_the_anonymous_sign_in_first(cast: Cast) -> None:
    answer = post(cast.client(), "lead", cast.session, leader=cast.finn.pk)
    assert answer["Location"].startswith(reverse("people:sign_in"))


@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda", "finn"])
def test_who_does_not_lead_finds_nothing(cast: Cast, who: str) -> None:
    assert post(cast.client(getattr(cast, who)), "lead", cast.session, leader=cast.finn.pk).status_code == 404
    cast.session.refresh_from_db()
    assert cast.session.leader is None


def test_who_does_not_lead_is_refused_by_the_action_too(cast: Cast) -> None:
    with pytest.raises(RefusedError):
        hand_over(by=assistant(cast), to=cast.finn)


@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda"])
def test_only_an_assistant_of_the_club_can_be_chosen(cast: Cast, who: str) -> None:
    other = getattr(cast, who)
    assert post(cast.client(cast.hazel), "lead", cast.session, leader=other.pk).status_code == 422
    with pytest.raises(RefusedError):
        hand_over(by=leader(cast), to=other)


def test_an_assistant_gets_the_bell_and_nothing_that_was_planned(cast: Cast) -> None:
    ready(cast)
    before = version_of(cast.session.pk)
    answer = post(cast.client(cast.hazel), "lead", cast.session, leader=cast.finn.pk)
    assert answer["Location"] == reverse("live:bell", args=[cast.session.pk])
    assert version_of(cast.session.pk) > before
    client = cast.client(cast.finn)
    assert 'id="controls"' in client.get(reverse("live:bell", args=[cast.session.pk])).content.decode()
    assert tap(client, cast.session, kind="start").json()["accepted"]
    assert client.post(reverse("planning:call_off", args=[cast.session.pk]), {"off": "yes"}).status_code == 404
    assert client.get(reverse("people:pair_rules")).status_code in (403, 404)
    assert client.get(reverse("people:member", args=[Membership.objects.get(user=cast.finn).pk])).status_code == 404
    assert AuditLog.objects.filter(verb="handed over", about=cast.session.pk).count() == 1


def test_an_assistant_of_another_squad_sees_this_session_and_no_other(cast: Cast) -> None:
    ivy = UserFactory(name="Ivy")
    Membership.objects.create(user=ivy, club=cast.club, role=ClubRole.ASSISTANT)
    assert find(ivy, "", cast.session.pk) is None
    hand_over(by=leader(cast), to=ivy)
    watcher = find(ivy, "", cast.session.pk)
    assert watcher is not None
    assert watcher.leads
    assert find(ivy, "", cast.other_session.pk) is None


def test_the_day_after_next_nobody_leads_by_it_any_more(cast: Cast) -> None:
    ivy = UserFactory(name="Ivy")
    Membership.objects.create(user=ivy, club=cast.club, role=ClubRole.ASSISTANT)
    hand_over(by=leader(cast), to=ivy)
    cast.session.date -= timedelta(days=1)
    cast.session.save()
    assert find(ivy, "", cast.session.pk) is not None
    cast.session.date -= timedelta(days=2)
    cast.session.save()
    assert find(ivy, "", cast.session.pk) is None


def test_it_can_be_handed_on_and_taken_back(cast: Cast) -> None:
    hand_over(by=leader(cast), to=cast.finn)
    cast.session.refresh_from_db()
    hand_over(by=Watcher(cast.session, Role.LEADER, cast.finn), to=None)
    cast.session.refresh_from_db()
    assert cast.session.leader is None
    found = find(cast.finn, "", cast.session.pk)
    assert found is not None
    assert not found.leads
