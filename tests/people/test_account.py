"""Codes by e-mail, the second step, and sign-ins that an adult ends."""

from __future__ import annotations

import base64
import hashlib
import hmac
import re
import struct
import time

from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse

from clubapp.core.models import AuditLog, Outbox
from clubapp.live.callers import Caller
from clubapp.people import actions
from clubapp.people.models import Membership, Role, User
from tests.cast import PASSWORD, Cast

SIGN_IN, CODE, TYPED = (
    reverse(name) for name in ("people:sign_in", "account_request_login_code", "account_confirm_login_code")
)
STEP, STEPS, APP = reverse("mfa_authenticate"), reverse("mfa_index"), reverse("mfa_activate_totp")
AGAIN = reverse("account_reauthenticate")
HOME, MINE = reverse("desk:home"), reverse("account_sign_ins")


def six_figures(secret: str, at: float) -> str:
    """RFC 6238 with the usual choices (SHA-1, 30 s, 6 digits), from memory."""
    digest = hmac.new(base64.b32decode(secret), struct.pack(">Q", int(at) // 30), hashlib.sha1).digest()
    cut = struct.unpack(">I", digest[digest[-1] & 15 :][:4])[0] & 0x7FFFFFFF
    return f"{cut % 1_000_000:06d}"


def enter(user: User, password: str = PASSWORD) -> tuple[Client, str]:
    """A browser in which somebody typed the password, and where that leads."""
    client = Client(HTTP_USER_AGENT="Mozilla/5.0 (iPhone; CPU iPhone OS 18_5) Version/18.5 Safari/604.1")
    return client, client.post(SIGN_IN, {"email": user.email, "password": password}).get("Location", "")


def signed_in(client: Client) -> bool:
    return "_auth_user_id" in client.session


def set_up_app(client: Client) -> tuple[str, str]:
    """Show again who one is, then set an app up; its secret, and a spare code."""
    assert client.get(APP)["Location"].startswith(AGAIN), "whoever finds an open phone changes nothing"
    assert client.post(AGAIN, {"password": "not mine"}).status_code == 200
    client.post(AGAIN, {"password": PASSWORD})
    secret = client.get(APP).context["form"].secret
    done = client.post(APP, {"code": six_figures(secret, time.time())})
    assert done.status_code == 302, done.context["form"].errors
    return secret, client.get(done["Location"]).context["unused_codes"][0]


def sent_code() -> str:
    found = re.search(r"Fieldbell is (\S+)", Outbox.objects.latest("made_at").text)
    assert found
    return found[1]


def test_a_code_by_mail_opens_once_and_only_where_it_was_asked_for(cast: Cast) -> None:
    client = Client()
    assert client.post(f"{CODE}?next=/people/squads/", {"email": cast.hazel.email.upper()}).status_code == 302
    code, other = sent_code(), Client()
    assert other.post(TYPED, {"code": code})["Location"] == CODE
    assert "code" in client.post(TYPED, {"code": "WRONG"}).context["verify_form"].errors
    assert not signed_in(client)
    assert client.post(TYPED, {"code": code, "next": "/people/squads/"})["Location"] == "/people/squads/"
    assert signed_in(client)
    assert Outbox.objects.get().club_id is None, "no head coach reads an assistant's code on the page of mails"


def test_three_wrong_codes_end_it(cast: Cast) -> None:
    client = Client()
    client.post(CODE, {"email": cast.hazel.email})
    code = sent_code()
    for _ in range(3):
        client.post(TYPED, {"code": "WRONG"})
    assert client.post(TYPED, {"code": code})["Location"] == CODE
    assert not signed_in(client)


def test_an_unknown_and_a_closed_address_get_the_same_answer_and_no_mail(cast: Cast) -> None:
    User.objects.filter(pk=cast.finn.pk).update(is_active=False)
    answers = [Client().post(CODE, {"email": email}) for email in ("no@alder.example", cast.finn.email)]
    known = Client().post(CODE, {"email": cast.hazel.email})
    assert {(answer.status_code, answer["Location"]) for answer in (*answers, known)} == {(302, TYPED)}
    assert Outbox.objects.get().to == cast.hazel.email


def test_codes_are_not_asked_for_without_end(cast: Cast) -> None:
    for _ in range(5):
        Client().post(CODE, {"email": cast.hazel.email})
    assert Outbox.objects.count() < 5


def test_a_forgotten_password_is_replaced_by_a_code(cast: Cast) -> None:
    forgotten, typed, new = (
        reverse(f"account_{name}")
        for name in ("reset_password", "confirm_password_reset_code", "complete_password_reset")
    )
    other, _ = enter(cast.hazel)
    client = Client()
    assert client.post(forgotten, {"email": "nobody@alder.example"})["Location"] == typed
    assert not Outbox.objects.exists()
    assert client.post(forgotten, {"email": cast.hazel.email})["Location"] == typed
    code = sent_code()
    assert Client().get(new)["Location"] == forgotten, "a browser that asked for nothing"
    assert client.get(new)["Location"] == typed, "not without the code"
    assert "code" in client.post(typed, {"code": "WRONG"}).context["verify_form"].errors
    assert client.post(typed, {"code": code})["Location"] == new
    assert "password1" in client.post(new, {"password1": "short"}).context["form"].errors
    assert client.post(new, {"password1": "five-green-pebbles"})["Location"] == HOME
    assert (signed_in(client), other.get(MINE).status_code) == (True, 302)
    assert [enter(cast.hazel, word)[1] for word in (PASSWORD, "five-green-pebbles")] == ["", HOME]
    told = Outbox.objects.latest("made_at")
    assert (told.to, "was changed" in told.text, told.club_id) == (cast.hazel.email, True, None)
    assert AuditLog.objects.filter(verb="changed", kind="password", about=cast.hazel.pk).exists()


def test_a_password_is_changed_with_the_old_one_and_ends_other_sign_ins(cast: Cast) -> None:
    path, (client, _), (other, _) = reverse("account_change_password"), enter(cast.finn), enter(cast.finn)
    assert "Change it" in client.get(MINE).content.decode()
    for sent in ({"oldpassword": "not mine"}, {"oldpassword": PASSWORD, "password1": "1234567890"}):
        assert client.post(path, sent).status_code == 200
    assert User.objects.get(pk=cast.finn.pk).check_password(PASSWORD)
    assert client.post(path, {"oldpassword": PASSWORD, "password1": "five-green-pebbles"})["Location"] == MINE
    assert (client.get(MINE).status_code, other.get(MINE).status_code) == (200, 302)
    assert User.objects.get(pk=cast.finn.pk).check_password("five-green-pebbles")


def test_with_a_second_step_neither_password_nor_code_opens_alone(cast: Cast) -> None:
    client, _ = enter(cast.hazel)
    secret, spare = set_up_app(client)
    client, leads = enter(cast.hazel)
    assert (leads, signed_in(client)) == (STEP, False)
    assert client.get(reverse("people:athletes")).status_code == 302
    assert "code" in client.post(STEP, {"code": "000000"}).context["form"].errors
    soon = six_figures(secret, time.time() + 30)  # the one set up with counts once
    assert (client.post(STEP, {"code": soon}).status_code, signed_in(client)) == (302, True)
    by_mail = Client()
    by_mail.post(CODE, {"email": cast.hazel.email})
    assert (by_mail.post(TYPED, {"code": sent_code()})["Location"], signed_in(by_mail)) == (STEP, False)
    assert (by_mail.post(STEP, {"code": spare}).status_code, signed_in(by_mail)) == (302, True)
    again, _ = enter(cast.hazel)
    assert "code" in again.post(STEP, {"code": spare}).context["form"].errors, "a spare code works once"


def test_an_invitation_does_not_lead_past_the_second_step(cast: Cast) -> None:
    client, _ = enter(cast.sal)
    set_up_app(client)
    path = actions.invite_member(club=cast.club, role=Role.ASSISTANT, squads=[cast.squad], by=cast.hazel)
    other = Client()
    data = {"adult_name": "Sal", "email": cast.sal.email, "password": PASSWORD}
    assert (other.post(path, data)["Location"], signed_in(other)) == (STEP, False)


def test_the_app_s_key_is_sealed(cast: Cast) -> None:
    from allauth.mfa.models import Authenticator

    client, _ = enter(cast.hazel)
    secret, _ = set_up_app(client)
    assert secret not in str(Authenticator.objects.get(type="totp").data)


def test_a_club_asks_its_head_coaches_for_a_second_step(cast: Cast) -> None:
    """Whoever turns it on has one; the others are signed out and see nothing else before theirs is set up."""
    second = Membership.objects.create(user=cast.sal, club=cast.club, role=Role.HEAD_COACH)
    ask, old = reverse("people:ask_second_step"), enter(cast.sal)[0]
    client, _ = enter(cast.hazel)
    assert client.post(ask, {"wanted": "yes"})["Location"] == STEPS
    cast.club.refresh_from_db()
    assert cast.club.second_step is False
    set_up_app(client)
    client.post(ask, {"wanted": "yes"})
    assert (signed_in(client), old.get(reverse("people:squads")).status_code) == (True, 302)
    half, leads = enter(second.user)
    assert leads == STEPS
    for path in (HOME, reverse("people:squads"), reverse("register:register", args=[cast.session.pk])):
        assert half.get(path)["Location"] == STEPS
    assert Caller(cast.session.pk, half.session.session_key or "", "").find() is None
    assert half.get(STEPS).status_code == 200
    set_up_app(half)
    assert half.get(reverse("people:squads")).status_code == 200
    assert enter(cast.finn)[1] == HOME
    for outsider in (cast.finn, cast.wanda, cast.greta, cast.sal):
        if outsider != second.user:
            assert cast.client(outsider).post(ask, {"wanted": "no"}).status_code == 404


def test_the_last_step_stays_while_the_club_asks_for_it(cast: Cast) -> None:
    from allauth.mfa.models import Authenticator

    client, _ = enter(cast.hazel)
    set_up_app(client)
    remove = reverse("account_remove_step", args=[Authenticator.objects.get(type="totp").pk])
    assert enter(cast.finn)[0].post(remove).status_code == 404
    actions.ask_second_step(club=cast.club, wanted=True, by=cast.hazel)
    client.post(remove)
    assert Authenticator.objects.filter(user=cast.hazel, type="totp").exists()
    actions.ask_second_step(club=cast.club, wanted=False, by=cast.hazel)
    assert client.get(remove).status_code == 200
    client.post(remove)
    assert not Authenticator.objects.filter(user=cast.hazel).exists()


def test_an_adult_sees_and_ends_own_sign_ins(cast: Cast) -> None:
    here, there, other = enter(cast.hazel)[0], enter(cast.hazel)[0], enter(cast.finn)[0]
    page = here.get(MINE)
    assert [(row.device, row.browser, row.here) for row in page.context["sign_ins"]] == [
        ("iPhone", "Safari", True),
        ("iPhone", "Safari", False),
    ]
    assert not any(key in page.content.decode() for key in Session.objects.values_list("session_key", flat=True))
    handle = page.context["sign_ins"][1].handle
    other.post(reverse("account_end_sign_in"), {"handle": handle})
    assert there.get(MINE).status_code == 200, "another adult's handle ends nothing"
    here.post(reverse("account_end_sign_in"), {"handle": handle})
    assert [client.get(MINE).status_code for client in (here, there, other)] == [200, 302, 200]
    third = enter(cast.hazel)[0]
    here.post(reverse("account_end_sign_in"))
    assert [client.get(MINE).status_code for client in (here, third, other)] == [200, 302, 200]


def test_a_sign_in_from_before_goes_on(cast: Cast) -> None:
    """Sessions made before allauth came name Django's own backend and hold nothing of ours."""
    client = cast.client(cast.hazel)
    assert client.get(reverse("people:athletes")).status_code == 200
    assert [row.since for row in client.get(MINE).context["sign_ins"]] == [None]


def test_a_crafted_passkey_is_refused_without_a_fault(cast: Cast) -> None:
    client, outside, key = enter(cast.hazel)[0], Client(), reverse("mfa_login_webauthn")
    client.post(AGAIN, {"password": PASSWORD})
    for answer in ("", "[]", "{}", "null", '{"id": 1}', '{"response": []}', "no json", "[[[[", '{"rawId": "é"}'):
        client.get(reverse("mfa_add_webauthn"))
        made = client.post(reverse("mfa_add_webauthn"), {"credential": answer, "passwordless": "on"})
        assert "credential" in made.context["form"].errors or made.context["form"].non_field_errors(), answer
        assert "publicKey" in outside.get(key, HTTP_ACCEPT="application/json").json()["request_options"]
        assert outside.post(key, {"credential": answer}).status_code in (302, 429), answer
    assert not signed_in(outside)
