"""Commands to the bell: who may give them, that each counts once, and that the log alone tells how things stand."""

from __future__ import annotations

import uuid

import pytest
from django.test import TestCase
from django.urls import reverse

from clubapp.core.tell import version_of
from clubapp.engine import clock
from clubapp.live import bridge, messages, played
from clubapp.live.actions import RefusedError
from clubapp.live.models import Command, Room
from clubapp.rotation.actions import move_child
from clubapp.rotation.queries import current_plan, is_running
from tests.cast import Cast
from tests.live.evening import assistant, give, helper, leader, pass_of, post, ready, tap

# --- who may ----------------------------------------------------------------------------------------------------------


def test_the_anonymous_sign_in_first(cast: Cast) -> None:
    answer = post(cast.client(), "command", cast.session)
    assert answer.status_code == 302
    assert answer["Location"].startswith(reverse("people:sign_in"))


@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda"])
def test_outsiders_find_nothing(cast: Cast, who: str) -> None:
    ready(cast)
    assert tap(cast.client(getattr(cast, who)), cast.session, kind="start").status_code == 404
    assert not Command.objects.exists()


@pytest.mark.parametrize("kind", ["start", "pause", "resume", "next", "back", "end", "undo", "ring", "replan"])
def test_an_assistant_gives_no_command(cast: Cast, kind: str) -> None:
    ready(cast)
    answer = tap(cast.client(cast.finn), cast.session, kind=kind)
    assert (answer.status_code, Command.objects.count()) == (409, 0)


def test_an_assistant_may_stop_everything_but_not_go_on(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    assert give(assistant(cast), "stop", seen=1).accepted
    with pytest.raises(RefusedError):
        give(assistant(cast), "resume", seen=2)


def test_a_helper_gives_no_command(cast: Cast) -> None:
    ready(cast)
    entry = pass_of(cast)
    (inside, _visitor), (waits, _other) = helper(entry, cast.hazel), helper(entry, None, "Una")
    assert tap(inside, cast.session, kind="stop").status_code == 409
    assert tap(waits, cast.session, kind="stop").status_code == 302
    assert not Command.objects.exists()


def test_a_leader_to_whom_the_session_was_handed_runs_it(cast: Cast) -> None:
    ready(cast)
    cast.session.leader = cast.finn
    cast.session.save()
    assert tap(cast.client(cast.finn), cast.session, kind="start").json()["accepted"]


# --- what it does -----------------------------------------------------------------------------------------------------


def test_the_bell_starts_with_the_plan_s_timetable(cast: Cast) -> None:
    ready(cast)
    answer = tap(cast.client(cast.hazel), cast.session, kind="start").json()
    plan = current_plan(cast.session.pk)
    assert plan is not None
    segments = answer["bell"]["state"]["segments"]
    assert segments == [[part.kind, part.seconds, part.round] for part in plan.timetable]
    assert [kind for kind, *_rest in segments].count("work") == 3
    assert is_running(cast.session.pk)


def test_without_groups_it_says_what_to_do_first(cast: Cast) -> None:
    answer = tap(cast.client(cast.hazel), cast.session, kind="start")
    assert (answer.status_code, Command.objects.count()) == (409, 0)
    assert "make them first" in answer.json()["text"]


def test_a_command_sent_twice_counts_once_and_is_answered_alike(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    op_id = uuid.uuid4()
    before = played.state_of(cast.session.pk)
    first = give(leader(cast), "add", op_id=op_id, seconds=30)
    version = version_of(cast.session.pk)
    second = give(leader(cast), "add", op_id=op_id, seconds=30)
    assert first == second
    assert played.state_of(cast.session.pk).deadline_ms == before.deadline_ms + 30_000
    assert version_of(cast.session.pk) == version


def test_a_refused_command_is_kept_with_its_answer(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    op_id = uuid.uuid4()
    late = give(leader(cast), "next", seen=0, op_id=op_id)
    assert (late.accepted, late.why) == (False, clock.Why.STALE)
    give(leader(cast), "pause", seen=1)
    assert give(leader(cast), "next", seen=2, op_id=op_id) == late


def test_two_adults_who_skip_at_once_skip_one_part(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    answers = [give(leader(cast), "next", seen=1, index=0) for _phone in range(2)]
    assert [answer.accepted for answer in answers] == [True, False]
    assert played.state_of(cast.session.pk).index == 1


def test_an_id_used_in_another_session_is_refused(cast: Cast) -> None:
    ready(cast)
    op_id = uuid.uuid4()
    give(leader(cast), "start", op_id=op_id)
    room = Room.objects.get()
    room.session = cast.other_session
    room.save()
    with pytest.raises(RefusedError):
        give(leader(cast), "start", op_id=op_id)


def test_end_is_noted_and_can_be_taken_back(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    give(leader(cast), "end", seen=1)
    assert Room.objects.get().ended_at is not None
    assert give(leader(cast), "undo", seen=2).accepted
    assert Room.objects.get().ended_at is None
    assert played.state_of(cast.session.pk).phase is clock.Phase.RUNNING


# --- the log ----------------------------------------------------------------------------------------------------------


def test_what_was_told_is_what_the_log_says(cast: Cast) -> None:
    """Kill the server and start it again: the state read from the log is the one phones hold."""
    ready(cast)
    given = ("start", "add", "next", "pause", "back", "resume", "ring", "stop", "resume", "end", "undo")
    for kind in given:
        fields = {"add": -30} if kind == "add" else {"kind": kind}
        seen = played.state_of(cast.session.pk).seq
        answer = tap(cast.client(cast.hazel), cast.session, seen=seen, **fields).json()
        assert answer["accepted"], kind
        asked = cast.client(cast.finn).get(reverse("live:state", args=[cast.session.pk])).json()
        assert asked["state"] == answer["bell"]["state"] == messages.plain_state(played.state_of(cast.session.pk))
    assert [row.seq for row in Command.objects.order_by("seq")] == list(range(1, 1 + len(given)))


def test_numbers_and_times_of_the_log_never_run_backwards(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    last = Command.objects.get()
    last.at_ms += 3_600_000  # as if the server's clock was set back by an hour after the start
    last.save()
    give(leader(cast), "pause", seen=1)
    assert [row.at_ms for row in Command.objects.order_by("seq")] == [last.at_ms, last.at_ms]


def test_the_log_stands_on_its_own_when_plans_change(cast: Cast) -> None:
    """A child moved by hand makes a new plan; the bell's time does not care, the names follow."""
    plan = ready(cast)
    give(leader(cast), "start")
    before = played.state_of(cast.session.pk)
    children = plan.answer["groups"][0]["athletes"]
    move_child(session=cast.session, athlete_id=uuid.UUID(children[0]), group=1, by=cast.hazel)
    newest = current_plan(cast.session.pk)
    assert played.state_of(cast.session.pk) == before
    assert newest is not None
    assert bridge.followed_plan(cast.session.pk, before, newest) == newest


def test_a_plan_with_other_rounds_waits_for_a_word(cast: Cast) -> None:
    old = ready(cast)
    give(leader(cast), "start")
    old.pk, old.version = None, old.version + 1
    old.answer = {
        **old.answer,
        "timetable": [dict(part, seconds=part["seconds"] + 5) for part in old.answer["timetable"]],
    }
    old.save(force_insert=True)
    state, newest = played.state_of(cast.session.pk), current_plan(cast.session.pk)
    followed = bridge.followed_plan(cast.session.pk, state, newest)
    assert followed is not None
    assert followed.version == state.plan == old.version - 1
    page = cast.client(cast.hazel).get(reverse("live:bell", args=[cast.session.pk])).content.decode()
    assert "Use the new ones from round 1" in page
    assert tap(cast.client(cast.hazel), cast.session, kind="replan", seen=1, round=1).json()["accepted"]
    after = played.state_of(cast.session.pk)
    assert after.plan == old.version
    assert after.schedule.segments[0] == state.schedule.segments[0]
    assert after.schedule.segments[-1].seconds == state.schedule.segments[-1].seconds + 5


def test_every_phone_is_told_once_the_command_is_kept(cast: Cast) -> None:
    ready(cast)
    with TestCase.captureOnCommitCallbacks() as told:
        give(leader(cast), "start")
    assert len(told) == 2  # the room was opened, the bell started
    with TestCase.captureOnCommitCallbacks() as told:
        give(leader(cast), "start", seen=1)
    assert told == []


@pytest.mark.parametrize(
    "fields",
    [{}, {"kind": "explode"}, {"kind": "next", "seen": "soon"}, {"add": "9999"}, {"op_id": "7", "kind": "pause"}],
    ids=str,
)
def test_what_cannot_be_read_is_refused_with_a_reason(cast: Cast, fields: dict[str, str]) -> None:
    ready(cast)
    answer = tap(cast.client(cast.hazel), cast.session, **fields)
    assert answer.status_code == 422
    assert answer.json()["type"] == "error"
    assert answer.json()["text"]
    assert not Command.objects.exists()


def test_the_buttons_work_without_any_script(cast: Cast) -> None:
    ready(cast)
    client = cast.client(cast.hazel)
    fields = {"op_id": str(uuid.uuid4()), "kind": "start", "seen": "0", "round": "1"}
    answer = client.post(reverse("live:command", args=[cast.session.pk]), fields, follow=True)
    assert answer.redirect_chain == [(reverse("live:bell", args=[cast.session.pk]), 302)]
    again = client.post(
        reverse("live:command", args=[cast.session.pk]), {**fields, "op_id": str(uuid.uuid4())}, follow=True
    )
    assert [str(message) for message in again.context["messages"]] == ["The bell has started already."]
