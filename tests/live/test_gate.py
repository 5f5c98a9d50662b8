"""Passes and the gate: a helper sees only the clock until let in, and nothing when the pass is over."""

from __future__ import annotations

import re
from datetime import time, timedelta

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from clubapp.core.models import AuditLog
from clubapp.live import access, actions, passes, queries
from clubapp.live.models import Pass, StationHold, Visitor
from clubapp.people.models import MedicalNote
from tests.cast import Cast
from tests.live.evening import give, helper, leader, pass_ends, pass_of, pass_over, post, ready

LEADER_ONLY = ("passes", "let_in", "refuse", "open")


def url(name: str, *ids: object) -> str:
    return reverse(f"live:{name}", args=ids)


# --- who may ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", LEADER_ONLY)
def test_the_anonymous_sign_in_first(cast: Cast, name: str) -> None:
    answer = post(cast.client(), name, cast.session, make="yes")
    assert answer["Location"] == f"{reverse('people:sign_in')}?next={url(name, cast.session.pk)}"
    assert not Pass.objects.exists()


@pytest.mark.parametrize("name", LEADER_ONLY)
@pytest.mark.parametrize("who", ["finn", "sal", "olga", "greta", "wanda"])
def test_only_the_leader_minds_the_gate(cast: Cast, who: str, name: str) -> None:
    assert post(cast.client(getattr(cast, who)), name, cast.session, make="yes").status_code == 404
    assert not Pass.objects.exists()


def test_a_helper_does_not_let_others_in(cast: Cast) -> None:
    entry = pass_of(cast)
    inside, _me = helper(entry, cast.hazel)
    _other, visitor = helper(entry, None, "Una")
    assert post(inside, "let_in", cast.session, visitor=visitor.pk).status_code == 404
    visitor.refresh_from_db()
    assert visitor.let_in_at is None


def test_a_leader_lets_in_only_who_came_to_the_own_session(cast: Cast) -> None:
    _client, visitor = helper(actions.make_pass(session=cast.other_session, by=cast.olga), None)
    assert post(cast.client(cast.hazel), "let_in", cast.session, visitor=visitor.pk).status_code == 404


# --- the pass --------------------------------------------------------------------------------------------------------


def test_the_page_shows_the_same_pass_again_though_only_hashes_are_kept(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    pass_ends(cast.session, timezone.now() + timedelta(minutes=60))
    post(client, "passes", cast.session, make="yes")
    entry = Pass.objects.get()
    code, token = passes.code_of(entry.pk), passes.token_of(entry.pk)
    first = client.get(url("passes", cast.session.pk))
    assert [letter for letter, _word in first.context["letters"]] == list(code)
    assert first.context["letters"] == client.get(url("passes", cast.session.pk)).context["letters"]
    assert first["Cache-Control"] == "no-store"
    stored = str(Pass.objects.values().get())
    assert code not in stored
    assert token not in stored


def test_the_code_is_six_letters_that_cannot_be_misheard(cast: Cast) -> None:
    codes = {passes.code_of(pass_of(cast).pk) for _again in range(20)}
    assert len(codes) == 20
    assert all(len(code) == 6 and set(code) <= set(passes.ALPHABET) for code in codes)
    assert not set("ILOQVXZ01") & set(passes.ALPHABET)
    assert [word[0].upper() for word in passes.WORDS.values()] == list(passes.ALPHABET)


def test_a_new_pass_closes_the_old_one(cast: Cast) -> None:
    old = pass_of(cast)
    inside, _visitor = helper(old, cast.hazel)
    assert inside.get(url("bell", cast.session.pk)).status_code == 200
    pass_of(cast)
    assert inside.get(url("bell", cast.session.pk)).status_code == 302
    assert Client().get(url("gate", passes.token_of(old.pk))).status_code == 404


def test_the_leader_closes_the_gate(cast: Cast) -> None:
    entry = pass_of(cast)
    inside, _visitor = helper(entry, cast.hazel)
    post(cast.client(cast.hazel), "passes", cast.session, revoke="yes")
    assert inside.get(url("state", cast.session.pk)).status_code == 302
    assert access.pass_by_code(passes.code_of(entry.pk)) is None
    assert set(AuditLog.objects.values_list("verb", flat=True)) >= {"made", "let in", "revoked"}


# --- coming ----------------------------------------------------------------------------------------------------------


def test_the_whole_way_in_by_a_spoken_code(cast: Cast) -> None:
    ready(cast)
    entry, phone = pass_of(cast), Client()
    said = passes.code_of(entry.pk)
    gate = phone.post(url("code"), {"code": f" {said[:3].lower()}-{said[3:].lower()} "})
    assert gate["Location"] == url("gate", passes.token_of(entry.pk))
    came = phone.post(gate["Location"], {"name": "Tom from the mill"})
    assert came["Location"] == url("waiting")
    cookie = phone.cookies[passes.COOKIE]
    assert (cookie["httponly"], cookie["samesite"], bool(cookie["secure"])) == (True, "Lax", settings.SECURE)
    assert cookie.value not in str(list(Visitor.objects.values()))
    page = phone.get(url("waiting"))
    assert page.status_code == 200
    assert phone.get(url("bell", cast.session.pk))["Location"] == url("waiting")
    post(cast.client(cast.hazel), "let_in", cast.session, visitor=Visitor.objects.get().pk)
    assert phone.get(url("waiting"))["Location"] == url("bell", cast.session.pk)
    assert phone.get(url("bell", cast.session.pk)).status_code == 200


def test_at_the_gate_the_phone_gets_the_clock_and_no_name(cast: Cast) -> None:
    ready(cast)
    waits, _visitor = helper(pass_of(cast), None)
    page = waits.get(url("waiting")).content.decode()
    told = waits.get(url("state", cast.session.pk)).content.decode()
    for child in cast.athletes:
        # As a word: two letters stand somewhere in a token sooner or later.
        assert not re.search(rf"\b{child.first_name}\b", page + told)
    station = cast.session.stations.get(number=1)
    assert waits.get(url("station", cast.session.pk, station.pk))["Location"] == url("waiting")
    assert waits.get(url("health", cast.session.pk, cast.ada.pk))["Location"] == url("waiting")
    assert post(waits, "hold", cast.session, station=station.pk)["Location"] == url("waiting")
    assert not StationHold.objects.exists()


def test_a_pass_opens_no_other_session(cast: Cast) -> None:
    inside, _visitor = helper(pass_of(cast), cast.hazel)
    for name in ("bell", "state", "passes"):
        assert inside.get(url(name, cast.other_session.pk)).status_code == 302
    assert inside.get(reverse("register:register", args=[cast.session.pk])).status_code == 302
    assert inside.get(reverse("rotation:plan", args=[cast.session.pk])).status_code == 302


@pytest.mark.parametrize("name", ["", "   ", "x" * 61, "\u200b"], ids=repr)
def test_a_name_is_wanted(cast: Cast, name: str) -> None:
    answer = Client().post(url("gate", passes.token_of(pass_of(cast).pk)), {"name": name})
    assert (answer.status_code, Visitor.objects.count()) == (422, 0)


def test_a_wrong_token_is_not_found(cast: Cast) -> None:
    pass_of(cast)
    assert Client().get(url("gate", "x" * 24)).status_code == 404
    assert Client().post(url("gate", "x" * 24), {"name": "Tom"}).status_code == 404


def test_after_ten_wrong_codes_even_the_right_one_waits(cast: Cast) -> None:
    code, phone = passes.code_of(pass_of(cast).pk), Client()
    answers = [phone.post(url("code"), {"code": "AAAAAA"}).status_code for _try in range(20)]
    assert answers[:10] == [422] * 10
    assert 429 in answers  # in the twentieth at the latest, should a new minute have begun on the way
    stopped = phone.post(url("code"), {"code": code})
    assert stopped.status_code == 429
    assert 0 < int(stopped["Retry-After"]) <= 60
    elsewhere = Client(REMOTE_ADDR="192.0.2.7")
    assert elsewhere.post(url("code"), {"code": code}).status_code == 302


def test_nobody_fills_the_leader_s_page_with_names(cast: Cast) -> None:
    token = passes.token_of(pass_of(cast).pk)
    answers = [Client().post(url("gate", token), {"name": f"Tom {n}"}).status_code for n in range(20)]
    assert answers[:10] == [302] * 10
    assert 429 in answers


def test_who_is_turned_away_stays_outside(cast: Cast) -> None:
    phone, visitor = helper(pass_of(cast), cast.hazel)
    post(cast.client(cast.hazel), "refuse", cast.session, visitor=visitor.pk)
    assert phone.get(url("bell", cast.session.pk)).status_code == 302
    page = phone.get(url("waiting"))
    assert (page.status_code, page.context["open"]) == (200, False)


# --- the end of the pass ---------------------------------------------------------------------------------------------


def test_the_pass_lives_until_half_an_hour_after_the_planned_end(cast: Cast) -> None:
    entry = pass_of(cast)
    inside, _visitor = helper(entry, cast.hazel)
    pass_ends(cast.session, timezone.now() + timedelta(seconds=90))
    assert inside.get(url("bell", cast.session.pk)).status_code == 200
    assert access.good_until(cast.session) == cast.session.ends_at + timedelta(minutes=30)
    pass_over(cast.session)
    for name in ("bell", "state"):
        assert inside.get(url(name, cast.session.pk)).status_code == 302
    assert inside.get(url("waiting")).context["open"] is False
    assert Client().get(url("gate", passes.token_of(entry.pk))).status_code == 404
    assert Client().post(url("code"), {"code": passes.code_of(entry.pk)}).status_code == 422


def test_the_leader_reads_the_end_of_the_pass_on_the_club_s_own_clock(cast: Cast) -> None:
    """18:00 in Auckland is another hour in UTC all year."""
    cast.club.time_zone = "Pacific/Auckland"
    cast.club.save()
    cast.session.date, cast.session.starts = cast.club.today() + timedelta(days=1), time(16, 30)
    cast.session.save()
    answer = cast.client(cast.hazel).get(reverse("live:passes", args=[cast.session.pk]))
    assert "until 18:00" in answer.content.decode()


def test_the_end_of_the_bell_does_not_end_the_pass(cast: Cast) -> None:
    ready(cast)
    inside, _visitor = helper(pass_of(cast), cast.hazel)
    give(leader(cast), "start")
    give(leader(cast), "end", seen=1)
    assert inside.get(url("bell", cast.session.pk)).status_code == 200


# --- inside ----------------------------------------------------------------------------------------------------------


def test_a_helper_reads_what_to_do_and_each_look_is_in_the_log(cast: Cast) -> None:
    ready(cast)
    MedicalNote.objects.create(athlete=cast.ada, note="asthma since 2019", what_to_do="Blue inhaler, two puffs.")
    inside, visitor = helper(pass_of(cast), cast.hazel)
    page = inside.get(url("health", cast.session.pk, cast.ada.pk)).content.decode()
    assert "Blue inhaler, two puffs." in page
    assert "2019" not in page
    looks = AuditLog.objects.filter(verb="read", about=cast.ada.pk)
    assert {row.detail.get("helper") for row in looks} == {None, str(visitor.pk)}


def test_a_helper_finds_only_children_who_are_here(cast: Cast) -> None:
    inside, _visitor = helper(pass_of(cast), cast.hazel)
    assert inside.get(url("health", cast.session.pk, cast.ada.pk)).status_code == 404
    assert cast.client(cast.finn).get(url("health", cast.session.pk, cast.ada.pk)).status_code == 200


def test_a_guardian_who_helps_gets_in_by_the_pass_and_only_there(cast: Cast) -> None:
    ready(cast)
    entry = pass_of(cast)
    greta = cast.client(cast.greta)
    assert greta.get(url("bell", cast.session.pk)).status_code == 404
    key = actions.come_to_gate(entry=entry, name="Greta")
    actions.let_in(visitor=Visitor.objects.get(), by=cast.hazel)
    greta.cookies[passes.COOKIE] = key
    assert greta.get(url("bell", cast.session.pk)).status_code == 200
    assert greta.get(reverse("register:register", args=[cast.session.pk])).status_code == 404


def test_everybody_who_came_stands_on_a_list_refused_names_too(cast: Cast) -> None:
    entry, hazel = pass_of(cast), cast.client(cast.hazel)
    _tom, tom = helper(entry, cast.hazel, "Tom")
    _una, una = helper(entry, None, "Una")
    _vic, vic = helper(entry, cast.hazel, "Vic")
    helper(entry, None, "Wim")
    actions.refuse(visitor=una, by=cast.hazel)
    post(hazel, "refuse", cast.session, visitor=vic.pk)
    page = " ".join(hazel.get(url("passes", cast.session.pk)).content.decode().split())
    for name, word in (("Una", "refused"), ("Vic", "sent away"), ("Wim", "not let in")):
        assert word in page.split(f"{name} <span")[1].split("</li>")[0], name
    assert [one.visitor.name for one in queries.came_in(cast.session) if one.inside] == ["Tom"]
    assert page.count("Send away") == 1
    actions.revoke(entry=entry, by=cast.hazel)
    assert not any(one.inside for one in queries.came_in(cast.session))
    assert "pass closed" in hazel.get(url("passes", cast.session.pk)).content.decode()
    assert tom.let_in_by == cast.hazel
