"""STOP and thunder: who may, what every phone is told, who goes on, and what never counts too late."""

from __future__ import annotations

import re
import uuid
from datetime import timedelta
from html import unescape

import pytest
from django.urls import reverse
from django.utils import timezone

from clubapp.engine import clock
from clubapp.live import access, messages, played
from clubapp.live.actions import RefusedError
from clubapp.live.messages import BadMessageError
from clubapp.live.models import Command, Room
from tests.cast import Cast
from tests.live.evening import assistant, give, helper, leader, pass_of, post, ready, tap
from tests.rotation.evening import child_of, mark

# --- who may ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["stop", "thunder"])
def test_any_adult_with_an_account_stops_everybody_and_only_the_leader_goes_on(cast: Cast, kind: str) -> None:
    ready(cast)
    give(leader(cast), "start")
    assert tap(cast.client(cast.finn), cast.session, kind=kind).json()["accepted"]
    assert played.state_of(cast.session.pk).phase is clock.Phase.STOPPED
    with pytest.raises(RefusedError):
        give(assistant(cast), "resume", seen=2)
    assert give(leader(cast), "resume", seen=2).accepted


@pytest.mark.parametrize("kind", ["stop", "thunder"])
def test_a_helper_s_pass_stops_nobody(cast: Cast, kind: str) -> None:
    ready(cast)
    give(leader(cast), "start")
    inside, _visitor = helper(pass_of(cast), cast.hazel)
    assert tap(inside, cast.session, kind=kind).status_code == 409
    assert played.state_of(cast.session.pk).phase is clock.Phase.RUNNING


@pytest.mark.parametrize("kind", ["stop", "thunder"])
def test_strangers_find_nothing_to_stop(cast: Cast, kind: str) -> None:
    ready(cast)
    for who in ("sal", "olga", "greta", "wanda"):
        assert tap(cast.client(getattr(cast, who)), cast.session, kind=kind).status_code == 404
    assert post(cast.client(), "command", cast.session, kind=kind).status_code == 302
    assert not Command.objects.exists()


# --- what it says -----------------------------------------------------------------------------------------------------


def test_the_reason_comes_with_the_stop_or_after_it(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    told = tap(cast.client(cast.finn), cast.session, kind="stop").json()["bell"]["state"]
    assert (told["phase"], told["reason"]) == ("stopped", "")
    told = tap(cast.client(cast.finn), cast.session, kind="stop", reason="missing").json()["bell"]["state"]
    assert (told["phase"], told["reason"]) == ("stopped", "missing")
    assert played.state_of(cast.session.pk).reason is clock.Reason.MISSING  # and the log says the same


def test_each_thunder_begins_the_30_minutes_again(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    give(assistant(cast), "thunder", seen=1)
    first = played.state_of(cast.session.pk).thunder_ms
    row = Command.objects.get(kind="thunder")
    row.at_ms -= 60_000  # as if it had been heard a minute ago
    row.save()
    assert give(assistant(cast), "thunder", seen=2).accepted
    state = played.state_of(cast.session.pk)
    assert state.thunder_ms >= first
    assert clock.view(state, state.thunder_ms).again_ms == state.thunder_ms + 30 * 60_000


@pytest.mark.parametrize("reason", ["thunder", "boredom", 7, None])
def test_a_reason_that_is_none_of_ours_is_refused(reason: object) -> None:
    given = {"type": "command", "op_id": str(uuid.uuid4()), "kind": "stop", "seen": 0, "reason": reason}
    with pytest.raises(BadMessageError):
        messages.read(messages.json.dumps(given))


def page_of(cast: Cast, client: object, name: str = "bell", *ids: object) -> str:
    answer = client.get(reverse(f"live:{name}", args=[cast.session.pk, *ids]))  # type: ignore[attr-defined]
    assert answer.status_code == 200
    return unescape(answer.content.decode())


def test_the_page_holds_the_meeting_place_and_every_name_to_count(cast: Cast) -> None:
    cast.session.meeting_place = "the gym, north door"
    cast.session.save()
    ready(cast)
    late = child_of(cast, 91, family_name="Weir")
    mark(cast.session, late, minutes=55)
    mark(cast.session, cast.ada, "left", minutes=59, with_whom="mother")
    station = cast.session.stations.get(number=1)
    for text in (page_of(cast, cast.client(cast.hazel)), page_of(cast, cast.client(cast.finn), "station", station.pk)):
        assert "Everybody to the gym, north door" in text
        muster = text[text.index("data-muster") :].split("</section>")[0]
        assert late.given_name in muster
        assert "Bo" in muster
        assert "Ada" not in muster  # went home


def test_without_a_meeting_place_everybody_goes_to_the_leader(cast: Cast) -> None:
    ready(cast)
    assert "Everybody to the leader" in page_of(cast, cast.client(cast.finn))


def test_who_waits_at_the_gate_reads_the_meeting_place_and_no_name(cast: Cast) -> None:
    cast.session.meeting_place = "the gym, north door"
    cast.session.save()
    ready(cast)
    waits, _visitor = helper(pass_of(cast), None, "Una")
    text = unescape(waits.get(reverse("live:waiting")).content.decode())
    assert "Everybody to the gym, north door" in text
    assert "data-muster" not in text
    assert not re.search(r"\bBo\b", text)


# --- too late ---------------------------------------------------------------------------------------------------------


def test_a_tap_that_lay_on_the_way_does_not_move_the_bell(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    with pytest.raises(RefusedError, match="too late"):
        give(leader(cast), "pause", seen=1, at_ms=messages.now_ms() - 2600)  # whose phone says “not heard” at 3 s
    assert played.state_of(cast.session.pk).phase is clock.Phase.RUNNING
    assert give(leader(cast), "pause", seen=1, at_ms=messages.now_ms() - 1000).accepted


def test_stopping_is_never_too_late(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    assert give(assistant(cast), "stop", seen=1, at_ms=messages.now_ms() - 60_000).accepted


# --- the end ----------------------------------------------------------------------------------------------------------


def test_the_end_names_the_part_it_was_tapped_in(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    late = give(leader(cast), "end", seen=1, index=3)
    assert (late.accepted, late.why) == (False, clock.Why.STALE)
    assert give(leader(cast), "end", seen=1, index=0).accepted


def test_passes_live_five_minutes_on_after_the_end_and_longer_if_it_is_taken_back(cast: Cast) -> None:
    ready(cast)
    entry = pass_of(cast)
    client, _visitor = helper(entry, cast.hazel)
    planned = access.good_until(cast.session)
    give(leader(cast), "start")
    give(leader(cast), "end", seen=1)
    assert timedelta(minutes=4) < access.good_until(cast.session) - timezone.now() <= timedelta(minutes=5)
    assert client.get(reverse("live:bell", args=[cast.session.pk])).status_code == 200
    Room.objects.update(ended_at=timezone.now() - timedelta(minutes=5, seconds=1))
    assert client.get(reverse("live:bell", args=[cast.session.pk])).status_code == 302
    Room.objects.update(ended_at=timezone.now())
    give(leader(cast), "undo", seen=2)
    assert access.good_until(cast.session) == planned
