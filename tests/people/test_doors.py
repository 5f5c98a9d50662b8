"""Signing in and out."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from django.test import Client, RequestFactory
from django.urls import reverse

from clubapp.core import guessing, limiter
from clubapp.people import tries
from tests.cast import PASSWORD, Cast

SIGN_IN = reverse("people:sign_in")


def sign_in(client: Client, email: str, password: str, **more: str):
    return client.post(SIGN_IN, {"email": email, "password": password, **more})


def test_the_right_password_opens_and_the_session_key_changes(cast: Cast) -> None:
    client = cast.client()
    client.session["before"] = "x"
    session = client.session
    session["before"] = "x"
    session.save()
    client.cookies["fieldbell"] = session.session_key
    answer = sign_in(client, cast.hazel.email.upper(), PASSWORD)
    assert answer["Location"] == reverse("desk:home")
    assert client.session["_auth_user_id"] == str(cast.hazel.pk)
    assert client.session.session_key != session.session_key


@pytest.mark.parametrize("wanted", ["/people/athletes/", "/people/athletes/?squad=1"])
def test_goes_where_the_adult_was_going(cast: Cast, wanted: str) -> None:
    assert sign_in(cast.client(), cast.hazel.email, PASSWORD, next=wanted)["Location"] == wanted


@pytest.mark.parametrize("wanted", ["https://elsewhere.example/", "//elsewhere.example", "javascript:alert(1)", "x"])
def test_never_goes_to_another_site(cast: Cast, wanted: str) -> None:
    assert sign_in(cast.client(), cast.hazel.email, PASSWORD, next=wanted)["Location"] == reverse("desk:home")
    assert cast.client(cast.hazel).get(SIGN_IN, {"next": wanted})["Location"] == reverse("desk:home")


def test_unknown_email_and_wrong_password_get_the_same_answer(cast: Cast) -> None:
    def page(email: str) -> str:
        answer = sign_in(Client(), email, "not the password")
        assert answer.status_code == 200
        text = answer.content.decode().replace(email, "…")
        return "".join(line for line in text.splitlines(keepends=True) if "csrf" not in line.lower())

    assert page(cast.hazel.email) == page("nobody@alder.example")


def test_a_closed_account_stays_out(cast: Cast) -> None:
    cast.hazel.is_active = False
    cast.hazel.save()
    assert sign_in(cast.client(), cast.hazel.email, PASSWORD).status_code == 200


@pytest.fixture
def still_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """Tries are counted by the minute of the clock; none may pass while a test counts."""
    monkeypatch.setattr(limiter, "time", SimpleNamespace(time=lambda: 1_800_000_000))


@pytest.mark.usefixtures("still_clock")
def test_wrong_tries_are_counted_per_address(cast: Cast) -> None:
    client = cast.client()
    answers = [sign_in(client, f"somebody{n}@alder.example", "wrong") for n in range(tries.FROM_ONE_ADDRESS)]
    assert {answer.status_code for answer in answers} == {200}
    late = sign_in(client, cast.hazel.email, PASSWORD)
    assert late.status_code == 429
    assert 0 < int(late["Retry-After"]) <= 60


@pytest.mark.usefixtures("still_clock")
def test_wrong_tries_are_counted_per_account_from_many_addresses(cast: Cast) -> None:
    for n in range(tries.FOR_ONE_ACCOUNT - 1):
        tries.count_wrong(RequestFactory(REMOTE_ADDR=f"192.0.2.{n}").post(SIGN_IN), cast.hazel.email)
    data = {"email": cast.hazel.email, "password": "wrong"}
    assert Client().post(SIGN_IN, data, REMOTE_ADDR="192.0.2.199").status_code == 200
    data["password"] = PASSWORD
    assert Client().post(SIGN_IN, data, REMOTE_ADDR="192.0.2.200").status_code == 429
    other = {"email": cast.finn.email, "password": PASSWORD}
    assert Client().post(SIGN_IN, other, REMOTE_ADDR="192.0.2.200").status_code == 302


def test_tokens_are_not_guessed_without_end(cast: Cast) -> None:
    """Links, passes and calendars count together; who has a good link waits no longer than the minute."""
    client, names = cast.client(), ("people:invitation", "people:set_up", "live:gate", "family:feed")
    codes = [client.get(reverse(names[at % 4], args=[f"guess-{at}"])).status_code for at in range(guessing.MOST + 1)]
    assert set(codes[:-1]) == {404}
    assert codes[-1] == 429


def test_somebody_signed_in_is_sent_on(cast: Cast) -> None:
    assert cast.client(cast.hazel).get(SIGN_IN).status_code == 302


def test_signing_out_takes_a_post_and_forgets_the_session(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    assert client.get(reverse("people:sign_out")).status_code == 405
    assert client.post(reverse("people:sign_out"))["Location"] == SIGN_IN
    assert "_auth_user_id" not in client.session


@pytest.mark.django_db(transaction=True)
def test_signing_out_closes_the_sockets() -> None:
    from asgiref.sync import async_to_sync
    from channels.layers import get_channel_layer

    from clubapp.core.tell import PEOPLE
    from tests.cast import make_cast

    cast = make_cast()
    layer = get_channel_layer()
    channel = async_to_sync(layer.new_channel)()
    async_to_sync(layer.group_add)(PEOPLE, channel)
    cast.client(cast.hazel).post(reverse("people:sign_out"))
    assert async_to_sync(layer.receive)(channel) == {"type": "closed", "user": str(cast.hazel.pk), "code": 4001}


def test_signing_out_empties_the_browsers_own_cache_and_leaves_what_others_have_to_send(cast: Cast) -> None:
    assert cast.client(cast.hazel).post(reverse("people:sign_out"))["Clear-Site-Data"] == '"cache"'
