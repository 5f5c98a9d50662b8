"""Help here, who hears it, and what each adult's phone is told of what rings."""

from __future__ import annotations

import json
import re
from datetime import timedelta
from html import unescape
from typing import Any
from uuid import UUID

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from clubapp.core.tell import version_of
from clubapp.live import actions
from clubapp.live.actions import RefusedError
from clubapp.live.models import Call, Heard
from clubapp.planning.models import Session
from clubapp.rotation.evening import names_for
from tests.cast import Cast
from tests.live.evening import assistant, helper, leader, pass_of, ready
from tests.live.field import count, field_of, hear, say, send, sent, standing, station


def call(cast: Cast, number: int = 2) -> UUID:
    tap = sent(assistant(cast))
    actions.call_help(station=station(cast, number), round_no=1, sent=tap)
    return tap.tap.op_id


def watched(client: Client, session: Session, place: UUID | None = None) -> str:
    answer = client.get(reverse("live:watch", args=[session.pk]), {"station": place} if place else {})
    assert answer.status_code == 200
    return unescape(answer.content.decode())


def told(client: Client, session: Session, place: UUID | None = None) -> dict[str, Any]:
    """What the page's script is told."""
    found = re.search(r'data-told="(.*?)" hidden', watched(client, session, place), re.S)
    assert found
    data: dict[str, Any] = json.loads(found[1])
    return data


# --- who may -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda"])
def test_outsiders_neither_call_nor_hear_nor_watch(cast: Cast, who: str) -> None:
    ready(cast)
    client, about = cast.client(getattr(cast, who)), call(cast)
    assert send(client, "help", cast.session, station(cast).pk).status_code == 404
    assert send(client, "heard", cast.session, about=about).status_code == 404
    assert client.get(reverse("live:watch", args=[cast.session.pk])).status_code == 404
    assert (Call.objects.count(), Heard.objects.count()) == (1, 0)


def test_a_helper_at_the_gate_is_told_nothing(cast: Cast) -> None:
    ready(cast)
    outside, _visitor = helper(pass_of(cast), None)
    assert outside.get(reverse("live:watch", args=[cast.session.pk])).status_code == 302
    assert send(outside, "help", cast.session, station(cast).pk).status_code == 302
    assert not Call.objects.exists()


# --- help ----------------------------------------------------------------------------------------------------------


def test_help_rings_the_leader_and_the_answer_comes_back(cast: Cast) -> None:
    ready(cast)
    before = version_of(cast.session.pk)
    about = call(cast)
    assert version_of(cast.session.pk) == before + 1
    board = watched(cast.client(cast.hazel), cast.session)
    assert "Help here: Finn" in board
    assert "station 2, Station 2" in board
    assert "I am coming" in board
    mine = watched(cast.client(cast.finn), cast.session, station(cast, 2).pk)
    assert "I am coming" not in mine  # nobody answers the own call
    assert "Coach is coming" not in mine
    assert send(cast.client(cast.hazel), "heard", cast.session, about=about).status_code == 200
    assert "Coach is coming: Hazel" in watched(cast.client(cast.finn), cast.session, station(cast, 2).pk)
    send(cast.client(cast.finn), "heard", cast.session, about=about, settled="yes")
    assert field_of(cast).alarms == ()


def test_another_adult_who_comes_is_named(cast: Cast) -> None:
    ready(cast)
    inside, _visitor = helper(pass_of(cast), cast.hazel, "Tom")
    send(inside, "heard", cast.session, about=call(cast))
    assert "Tom is coming" in watched(cast.client(cast.finn), cast.session, station(cast, 2).pk)


def test_without_a_script_help_is_a_form(cast: Cast) -> None:
    ready(cast)
    page = reverse("live:help", args=[cast.session.pk, station(cast).pk])
    answer = cast.client(cast.finn).post(page, {})
    assert answer["Location"] == reverse("live:station", args=[cast.session.pk, station(cast).pk])
    assert Call.objects.get().by == cast.finn


def test_the_same_call_twice_is_one(cast: Cast) -> None:
    ready(cast)
    tap = sent(assistant(cast))
    first = actions.call_help(station=station(cast), round_no=1, sent=tap)
    assert actions.call_help(station=station(cast), round_no=1, sent=tap) == first
    assert Call.objects.count() == 1


# --- hearing -------------------------------------------------------------------------------------------------------


def test_hearing_of_a_missing_child_does_not_find_it(cast: Cast) -> None:
    ready(cast)
    say(cast, cast.ada, "missing", round=1)
    (alarm,) = field_of(cast).alarms
    hear(cast, alarm.id, leader(cast), round=1, settled=True)
    (still,) = field_of(cast).alarms
    assert still.heard is not None
    assert still.ringing.heard_round == 1


def test_a_settled_short_count_is_quiet_and_a_later_word_does_not_open_it(cast: Cast) -> None:
    ready(cast)
    count(cast, 3)
    (alarm,) = field_of(cast).alarms
    hear(cast, alarm.id, leader(cast), settled=True)
    hear(cast, alarm.id, assistant(cast))
    assert field_of(cast).alarms == ()


def test_nothing_that_rings_is_refused(cast: Cast) -> None:
    ready(cast)
    with pytest.raises(RefusedError):
        hear(cast, cast.ada.pk, leader(cast))
    answer = send(cast.client(cast.hazel), "heard", cast.session, about=cast.ada.pk)
    assert answer.status_code == 409
    assert answer.json()["text"]


# --- what a phone is told ------------------------------------------------------------------------------------------


def test_a_phone_is_told_instants_not_a_loudness(cast: Cast) -> None:
    """How loud it is changes without the server: the phone reckons it from what is stored."""
    ready(cast)
    say(cast, cast.ada, "missing", round=1, station=station(cast))
    (row,) = told(cast.client(cast.hazel), cast.session)["alarms"]
    assert set(row) == {"id", "what", "mine", "at_ms", "received_ms", "round", "heard_ms", "heard_round"}
    assert abs(row["at_ms"] - timezone.now().timestamp() * 1000) < 60_000
    assert (row["mine"], row["heard_ms"]) == (False, None)
    (mine,) = told(cast.client(cast.finn), cast.session, station(cast).pk)["alarms"]
    assert mine["mine"]


def test_a_phone_can_count_every_round_by_itself(cast: Cast) -> None:
    ready(cast)
    data = told(cast.client(cast.finn), cast.session, station(cast).pk)
    at = str(station(cast).pk)
    groups = {group for group, where in enumerate(data["rounds"][0]) if where == at}
    names = {child["name"] for child in data["children"] if child["group"] in groups}
    assert names == {field_name(cast, child.pk) for child in standing(cast)}


def field_name(cast: Cast, child: UUID) -> str:
    return names_for(cast.session, {child})[child]


def test_a_helper_reads_first_names_and_nothing_of_first_aid(cast: Cast) -> None:
    ready(cast)
    inside, _visitor = helper(pass_of(cast), cast.hazel)
    say(cast, cast.ada, "away", reason="first_aid", with_whom="Una", station=station(cast))
    text = watched(inside, cast.session, station(cast).pk)
    assert "Ada is away" in text
    assert "with Una" in text
    assert "First aid" not in text
    assert "first aid" not in text
    assert "Reed" not in text
    assert "first aid, with Una" in watched(cast.client(cast.finn), cast.session, station(cast).pk)


def test_the_age_of_a_late_alarm_is_said(cast: Cast) -> None:
    ready(cast)
    say(cast, cast.ada, "missing", at=timezone.now() - timedelta(minutes=4))
    assert "came here 4 min late" in watched(cast.client(cast.hazel), cast.session)


def test_who_is_away_is_not_counted_in_at_the_station(cast: Cast) -> None:
    ready(cast)
    child = standing(cast)[0]
    say(cast, child, "missing", round=1, station=station(cast))
    page = reverse("live:station", args=[cast.session.pk, station(cast).pk])
    text = cast.client(cast.finn).get(page).content.decode()
    first = text.split('data-turn="1"')[1].split("</section>")[0]
    assert "3 children" in first
    assert f"{child.given_name} (missing)" in first
