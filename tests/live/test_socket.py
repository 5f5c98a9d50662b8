"""The socket: who is turned away, what is heard, when it closes."""

from __future__ import annotations

import time
import uuid
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from channels.layers import channel_layers
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from clubapp.core.tell import send, session_group, version_of
from clubapp.live import actions, messages, played
from clubapp.people.models import Membership
from clubapp.register import actions as register
from tests.cast import Cast, make_cast
from tests.live.evening import give, helper, leader, pass_ends, pass_of, pass_over, ready
from tests.live.sockets import Phone, in_database

pytestmark = [pytest.mark.django_db(transaction=True)]


@pytest.fixture
def evening(transactional_db: None) -> Cast:
    """Committed rows, for consumers read from other threads; a fresh layer, for its queues belong to one event loop."""
    channel_layers.backends.clear()
    cast = make_cast()
    ready(cast)
    return cast


def command(kind: str, seen: int, **more: Any) -> dict[str, Any]:
    return {"type": "command", "op_id": str(uuid.uuid4()), "kind": kind, "seen": seen, **more}


# --- turned away -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda"])
async def test_outsiders_are_turned_away_before_they_are_let_on(evening: Cast, who: str) -> None:
    client = await in_database(evening.client)(getattr(evening, who))
    async with Phone(client, evening.session.pk) as phone:
        assert (phone.accepted, phone.code) == (False, 4003)


async def test_nobody_without_a_sign_in_or_a_pass(evening: Cast) -> None:
    async with Phone(Client(), evening.session.pk) as phone:
        assert not phone.accepted


async def test_a_pass_of_another_session_opens_nothing(evening: Cast) -> None:
    entry = await in_database(actions.make_pass)(session=evening.other_session, by=evening.olga)
    client, _visitor = await in_database(helper)(entry, evening.olga)
    async with Phone(client, evening.session.pk) as phone:
        assert not phone.accepted


async def test_a_session_that_does_not_exist(evening: Cast) -> None:
    client = await in_database(evening.client)(evening.hazel)
    async with Phone(client, uuid.uuid4()) as phone:
        assert not phone.accepted


@pytest.mark.parametrize("origin", [b"https://elsewhere.example", b"", b"http://localhost.example"])
async def test_another_site_cannot_ride_on_the_cookie(evening: Cast, origin: bytes) -> None:
    client = await in_database(evening.client)(evening.hazel)
    async with Phone(client, evening.session.pk, origin) as phone:
        assert not phone.accepted


async def test_a_pass_that_is_over_opens_nothing(evening: Cast) -> None:
    entry = await in_database(pass_of)(evening)
    client, _visitor = await in_database(helper)(entry, evening.hazel)
    await in_database(pass_over)(evening.session)
    async with Phone(client, evening.session.pk) as phone:
        assert not phone.accepted


# --- heard -----------------------------------------------------------------------------------------------------------


async def test_a_phone_gets_the_whole_bell_when_it_comes(evening: Cast) -> None:
    client = await in_database(evening.client)(evening.finn)
    async with Phone(client, evening.session.pk) as phone:
        told = await phone.hear()
        state = await in_database(played.state_of)(evening.session.pk)
        assert (told["type"], told["what"]) == ("bell", "")
        assert told["state"] == messages.plain_state(state)
        assert told["version"] == await in_database(version_of)(evening.session.pk)
        assert abs(told["now_ms"] - time.time() * 1000) < 10_000


async def test_a_ping_comes_back_with_the_server_s_clock_and_the_version(evening: Cast) -> None:
    client = await in_database(evening.client)(evening.finn)
    async with Phone(client, evening.session.pk) as phone:
        version = (await phone.hear("bell"))["version"]
        before = time.time() * 1000
        await phone.say({"type": "ping", "t0": 12.25})
        pong = await phone.hear("pong")
        assert (pong["t0"], pong["version"]) == (12.25, version)
        assert before <= pong["t1"] <= pong["t2"] <= time.time() * 1000


async def test_a_command_reaches_every_phone_as_data(evening: Cast) -> None:
    lead, assist = [await in_database(evening.client)(adult) for adult in (evening.hazel, evening.finn)]
    entry = await in_database(pass_of)(evening)
    waits, _visitor = await in_database(helper)(entry, None)
    async with (
        Phone(lead, evening.session.pk) as first,
        Phone(assist, evening.session.pk) as second,
        Phone(waits, evening.session.pk) as third,
    ):
        for phone in (first, second, third):
            await phone.hear("bell")
        start = command("start", 0)
        await first.say(start)
        answer = await first.hear("answer")
        assert (answer["op_id"], answer["accepted"], answer["words"]) == (start["op_id"], True, "")
        bells = [await phone.hear("bell") for phone in (first, second, third)]
        assert {bell["what"] for bell in bells} == {"bell"}
        assert len({str(bell["state"]) for bell in bells}) == 1
        assert bells[0]["state"]["phase"] == "running"
        assert bells[0]["version"] == await in_database(version_of)(evening.session.pk)


async def test_a_command_by_post_reaches_the_sockets_as_well(evening: Cast) -> None:
    client = await in_database(evening.client)(evening.hazel)
    async with Phone(client, evening.session.pk) as phone:
        await phone.hear("bell")
        await in_database(give)(leader(evening), "start")
        assert (await phone.hear("bell"))["state"]["phase"] == "running"


async def test_a_stale_command_says_so_to_its_sender_alone(evening: Cast) -> None:
    lead, assist = [await in_database(evening.client)(adult) for adult in (evening.hazel, evening.finn)]
    await in_database(give)(leader(evening), "start")
    await in_database(give)(leader(evening), "add", seconds=30)
    async with Phone(lead, evening.session.pk) as first, Phone(assist, evening.session.pk) as second:
        await first.hear("bell")
        await second.hear("bell")
        await first.say(command("next", 1))
        answer = await first.hear("answer")
        assert (answer["accepted"], answer["seq"]) == (False, 2)
        assert answer["words"].startswith("Somebody was quicker")
        assert await second.is_quiet()


async def test_the_same_command_sent_twice_counts_once(evening: Cast) -> None:
    client = await in_database(evening.client)(evening.hazel)
    async with Phone(client, evening.session.pk) as phone:
        await phone.say(command("start", 0))
        await phone.hear("answer")
        before = await in_database(played.state_of)(evening.session.pk)
        more = command("add", 1, seconds=30)
        for _time in range(2):
            await phone.say(more)
            assert (await phone.hear("answer"))["accepted"]
        after = await in_database(played.state_of)(evening.session.pk)
        assert after.deadline_ms == before.deadline_ms + 30_000


async def test_an_assistant_s_command_is_answered_and_not_done(evening: Cast) -> None:
    client = await in_database(evening.client)(evening.finn)
    async with Phone(client, evening.session.pk) as phone:
        await phone.say(command("start", 0))
        answer = await phone.hear("answer")
        assert (answer["accepted"], answer["words"]) == (False, "Only the leader gives this command.")
        assert not (await in_database(played.state_of)(evening.session.pk)).started


async def test_what_changes_elsewhere_is_only_hinted_at(evening: Cast) -> None:
    client = await in_database(evening.client)(evening.finn)
    async with Phone(client, evening.session.pk) as phone:
        version = (await phone.hear("bell"))["version"]
        await in_database(mark)(evening)
        assert await phone.hear() == {"type": "hint", "what": "register", "version": version + 1}


def mark(cast: Cast) -> None:
    register.mark_here(session=cast.session, athlete=cast.ada, tap=register.Tap(by=cast.hazel))


# --- nonsense --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["", "{", "[]", '{"type":"explode"}', '{"type":"ping","t0":"now"}', "x" * 60_000])
async def test_nonsense_is_answered_with_a_sentence_and_the_line_stays_open(evening: Cast, text: str) -> None:
    client = await in_database(evening.client)(evening.finn)
    async with Phone(client, evening.session.pk) as phone:
        await phone.hear("bell")
        await phone.line.send_input({"type": "websocket.receive", "text": text})
        error = await phone.hear()
        assert error["type"] == "error"
        assert error["text"].endswith(".")
        await phone.line.send_to(bytes_data=b"\x00\xff")
        assert (await phone.hear())["type"] == "error"
        await phone.say({"type": "ping", "t0": 1})
        assert (await phone.hear())["type"] == "pong"


# --- closing ---------------------------------------------------------------------------------------------------------


async def test_signing_out_closes_the_socket(evening: Cast) -> None:
    client = await in_database(evening.client)(evening.finn)
    async with Phone(client, evening.session.pk) as phone:
        await phone.hear("bell")
        await in_database(client.post)(reverse("people:sign_out"))
        assert await phone.closing() == 4001


def lose_membership(cast: Cast, client: Client) -> None:
    Membership.objects.filter(user=cast.finn).delete()


def lose_sign_in(cast: Cast, client: Client) -> None:
    client.session.flush()


def lose_account(cast: Cast, client: Client) -> None:
    cast.finn.is_active = False
    cast.finn.save()


@pytest.mark.parametrize(("lose", "code"), [(lose_membership, 4003), (lose_sign_in, 4001), (lose_account, 4003)])
async def test_rights_are_asked_for_again_at_each_command(
    evening: Cast, lose: Callable[[Cast, Client], None], code: int
) -> None:
    """Also when the word to close was lost on the way."""
    client = await in_database(evening.client)(evening.finn)
    async with Phone(client, evening.session.pk) as phone:
        await phone.hear("bell")
        await in_database(lose)(evening, client)
        await phone.say({"type": "ask"})
        assert await phone.closing() == code


async def test_a_helper_who_is_sent_away_is_cut_off(evening: Cast) -> None:
    entry = await in_database(pass_of)(evening)
    client, visitor = await in_database(helper)(entry, evening.hazel)
    async with Phone(client, evening.session.pk) as phone:
        await phone.hear("bell")
        await in_database(actions.refuse)(visitor=visitor, by=evening.hazel)
        assert await phone.closing() == 4003


async def test_a_closed_gate_cuts_off_everybody_who_came_by_it(evening: Cast) -> None:
    entry = await in_database(pass_of)(evening)
    client, _visitor = await in_database(helper)(entry, evening.hazel)
    async with Phone(client, evening.session.pk) as phone:
        await phone.hear("bell")
        await in_database(actions.revoke)(entry=entry, by=evening.hazel)
        assert await phone.closing() == 4003


async def test_the_socket_of_a_pass_closes_by_itself_when_the_pass_is_over(evening: Cast) -> None:
    entry = await in_database(pass_of)(evening)
    client, _visitor = await in_database(helper)(entry, evening.hazel)
    lead = await in_database(evening.client)(evening.hazel)
    over = timezone.now() + timedelta(seconds=2)
    await in_database(pass_ends)(evening.session, over)
    async with Phone(client, evening.session.pk) as phone, Phone(lead, evening.session.pk) as other:
        await phone.hear("bell")
        await other.hear("bell")
        assert await phone.closing() == 4003
        assert timezone.now() >= over
        await other.say({"type": "ping", "t0": 1})
        assert (await other.hear())["type"] == "pong"


async def test_a_pass_that_ends_between_two_commands_ends_the_socket(evening: Cast) -> None:
    """The planned end was moved while the phone was connected: the timer set at the start is not enough."""
    entry = await in_database(pass_of)(evening)
    client, _visitor = await in_database(helper)(entry, evening.hazel)
    async with Phone(client, evening.session.pk) as phone:
        await phone.hear("bell")
        await in_database(pass_over)(evening.session)
        await phone.say(command("stop", 0))
        assert await phone.closing() == 4003


async def test_somebody_else_s_closing_leaves_others_alone(evening: Cast) -> None:
    lead, assist = [await in_database(evening.client)(adult) for adult in (evening.hazel, evening.finn)]
    async with Phone(lead, evening.session.pk) as first, Phone(assist, evening.session.pk) as second:
        await first.hear("bell")
        await second.hear("bell")
        await in_database(assist.post)(reverse("people:sign_out"))
        assert await second.closing() == 4001
        await first.say({"type": "ping", "t0": 1})
        assert (await first.hear())["type"] == "pong"


async def test_a_hint_for_another_session_is_not_heard(evening: Cast) -> None:
    client = await in_database(evening.client)(evening.hazel)
    async with Phone(client, evening.session.pk) as phone:
        await phone.hear("bell")
        hint = {"type": "hint", "what": "register", "version": 7}
        await in_database(send)(session_group(evening.other_session.pk), hint)
        assert await phone.is_quiet()
        await in_database(send)(session_group(evening.session.pk), hint)
        assert (await phone.hear())["version"] == 7
