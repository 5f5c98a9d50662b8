"""What makes the pages installable: worker, manifest, and the little a phone may keep."""

from __future__ import annotations

import json
import re
import struct
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.urls import resolve, reverse
from django.utils import timezone

from clubapp.core import keeping, pwa
from clubapp.games.models import Draw
from clubapp.live import actions as live
from clubapp.live.passes import COOKIE
from tests.browser.fill import begin_now
from tests.cast import Cast
from tests.games.evening import everybody_here, made, say
from tests.rules.addresses import game_of

WHO = "/who/"


def page(cast: Cast, name: str) -> str:
    return reverse(name, args=[cast.session.pk])


def test_the_worker_stands_at_the_root_and_is_asked_for_each_time(cast: Cast) -> None:
    answer = cast.client().get("/sw.js")
    assert answer.status_code == 200
    assert answer["Content-Type"].startswith("text/javascript")
    assert (answer["Cache-Control"], answer["Service-Worker-Allowed"]) == ("no-cache", "/")


def test_the_worker_names_files_that_are_there(cast: Cast) -> None:
    text = cast.client().get("/sw.js").content.decode()
    release = json.loads(re.match(r"const RELEASE = (.*);\n", text).group(1))  # type: ignore[union-attr]
    assert release["files"]
    apart = [address for _pages, addresses in release["apart"] for address in addresses]
    assert not set(apart) & set(release["files"])
    for address in (*release["files"], *apart):
        assert re.search(r"\.[0-9a-f]{12}\.\w+$", address), address
        assert (Path(settings.STATIC_ROOT) / address.removeprefix("/static/")).is_file()


def test_a_kept_page_has_all_its_own_files(cast: Cast) -> None:
    """What the page names is fetched at the first visit or kept with it."""
    begin_now(cast)
    text = cast.client().get("/sw.js").content.decode()
    release = json.loads(re.match(r"const RELEASE = (.*);\n", text).group(1))  # type: ignore[union-attr]
    station = cast.session.stations.first()
    assert station is not None
    more_ids: dict[str, list[Any]] = {
        name: [station.pk] for name in ("live:station", "live:caller_at", "live:stopwatch_at")
    }
    game = game_of(cast.session).pk
    Draw.objects.filter(game=game).update(answer={"heats": [[[1, str(cast.ada.pk)]]]})
    everybody_here(cast, timed=False)
    cast.squad.athletes.update(date_of_birth=None)
    chasing = made(cast, "freeze")
    say(chasing, "begin", cast.hazel)
    more_ids["live:game"] = [chasing.pk]
    more_ids |= {"games:game": [game], "games:enter_part": [game, 1], "live:entry": ["sprint-20-m"]}
    for name in (*keeping.PAGES, *keeping.ASKED):
        path = reverse(name, args=[cast.session.pk, *more_ids.get(name, [])])
        more = [one for pattern, addresses in release["apart"] if re.fullmatch(pattern, path) for one in addresses]
        html = cast.client(cast.hazel).get(path).content.decode()
        named = re.findall(r'(?:<script[^>]* src|rel="stylesheet" href)="(/static/[^"]+)"', html)
        assert named
        assert not set(named) - {*release["files"], *more}, name


@pytest.mark.parametrize("name", keeping.FAMILY)
def test_a_guardian_s_page_has_all_its_own_files(cast: Cast, name: str) -> None:
    path = reverse(name, args=[] if name == "family:home" else [cast.ada.pk])
    named = re.findall(r'(?:<script[^>]* src|rel="stylesheet" href)="(/static/[^"]+)"', family_page(cast, path))
    more = [one for pattern, addresses in pwa.apart() if re.fullmatch(pattern, path) for one in addresses]
    assert len(more) == 2
    assert not set(named) - {*pwa.files(), *more}


def family_page(cast: Cast, path: str) -> str:
    return cast.client(cast.greta).get(path).content.decode()


def test_the_worker_and_the_server_agree_on_what_may_be_kept(cast: Cast) -> None:
    """The worker knows pages by their addresses, the server by their names."""
    session, station = cast.session.pk, cast.session.stations.first()
    assert station is not None
    field = (
        "live:bell",
        "live:stopwatch_all",
        "live:caller_all",
        "register:register",
        "register:going_home",
        "rotation:plan",
    )
    paths = [reverse(name, args=[session]) for name in field]
    paths += [
        reverse(name, args=[session, station.pk]) for name in ("live:station", "live:stopwatch_at", "live:caller_at")
    ]
    paths += [
        reverse("games:game", args=[session, session]),
        reverse("live:game", args=[session, session]),
        reverse("games:enter_part", args=[session, session, 1]),
        reverse("live:entry", args=[session, "sprint-20-m"]),
    ]
    family = [reverse("family:home"), reverse("family:child", args=[cast.ada.pk])]
    kept = ((pwa.PAGES, keeping.PAGES, paths), (pwa.ASKED, keeping.ASKED, None), (pwa.FAMILY, keeping.FAMILY, family))
    for patterns, names, found in kept:
        found = found or [reverse(name, args=[session]) for name in names]
        assert {resolve(path).view_name for path in found} == set(names)
        for path in found:
            assert any(re.fullmatch(pattern, path) for pattern in patterns), path
    notice = reverse("family:cannot_come", args=[cast.ada.pk, session])
    for other in ("/", reverse("planning:session", args=[session]), reverse("register:news", args=[session]), notice):
        assert not any(re.fullmatch(pattern, other) for pattern in (*pwa.PAGES, *pwa.ASKED, *pwa.FAMILY))


def test_the_manifest_has_what_phones_ask_for(cast: Cast) -> None:
    answer = cast.client().get("/manifest.webmanifest")
    told = answer.json()
    assert answer["Content-Type"] == "application/manifest+json"
    assert {told["id"], told["start_url"], told["scope"]} == {"/"}
    assert told["display"] == "standalone"
    assert {(icon["sizes"], icon["purpose"]) for icon in told["icons"]} == {
        (size, purpose) for size in ("192x192", "512x512") for purpose in ("any", "maskable")
    }
    for icon in told["icons"]:
        head = (Path(settings.STATIC_ROOT) / icon["src"].removeprefix("/static/")).read_bytes()[:24]
        assert "x".join(str(side) for side in struct.unpack(">II", head[16:])) == icon["sizes"]


# --- until when, and for whom ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["register:register", "rotation:plan", "live:bell"])
def test_a_page_of_today_says_until_when_it_may_be_kept(cast: Cast, name: str) -> None:
    begin_now(cast)
    cast.session.refresh_from_db()
    answer = cast.client(cast.finn).get(page(cast, name))
    assert int(answer[keeping.UNTIL]) == int((cast.session.ends_at + timedelta(minutes=60)).timestamp() * 1000)
    assert f'data-until="{answer[keeping.UNTIL]}"' in answer.content.decode()


@pytest.mark.parametrize(
    ("who", "name", "hours"),
    [
        ("hazel", "register:register", 24),
        ("hazel", "rotation:plan", 0),
        ("finn", "register:register", 0),  # an assistant's phone stops like all others
    ],
)
def test_the_leaders_register_is_kept_for_whoever_was_not_collected(
    cast: Cast, who: str, name: str, hours: int
) -> None:
    begin_now(cast)
    cast.session.refresh_from_db()
    answer = cast.client(getattr(cast, who)).get(page(cast, name))
    last = cast.session.ends_at + keeping.AFTER_END
    assert int(answer[keeping.UNTIL]) == int((last + timedelta(hours=hours)).timestamp() * 1000)
    text = answer.content.decode()
    assert f'data-until="{int(last.timestamp() * 1000)}"' in text
    assert ("data-waits" in text) == (hours > 0)


def test_a_page_of_another_day_is_not_kept(cast: Cast) -> None:
    cast.session.date = cast.club.today() + timedelta(days=1)
    cast.session.save()
    assert keeping.UNTIL not in cast.client(cast.finn).get(page(cast, "register:register"))


def test_an_hour_after_the_end_nothing_is_kept(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    """The session stays today's; only its hour is over."""
    begin_now(cast)
    cast.session.refresh_from_db()
    later = cast.session.ends_at + keeping.AFTER_END + timedelta(seconds=1)
    monkeypatch.setattr("clubapp.core.keeping.timezone.now", lambda: later)
    monkeypatch.setattr("clubapp.planning.models.Club.today", lambda club: cast.session.date)
    assert keeping.UNTIL not in cast.client(cast.finn).get(page(cast, "register:register"))


def test_a_guardian_s_page_may_lie_on_the_phone_two_weeks_without_contact(cast: Cast) -> None:
    """Only the worker's own list and the guardian's wish put it there; the end of no session takes it away."""
    for path in (reverse("family:home"), reverse("family:child", args=[cast.ada.pk])):
        before = timezone.now()
        answer = cast.client(cast.greta).get(path)
        kept = datetime.fromtimestamp(int(answer[keeping.UNTIL]) / 1000, tz=UTC)
        assert before + timedelta(days=13, hours=23) < kept <= timezone.now() + timedelta(days=14)
        assert "data-until" not in answer.content.decode()


@pytest.mark.parametrize("who", ["finn", "sal"])
def test_without_a_child_there_is_nothing_to_keep(cast: Cast, who: str) -> None:
    assert "Keep this page" not in cast.client(getattr(cast, who)).get(reverse("family:home")).content.decode()


def test_the_switch_is_off_and_without_scripts_it_says_that_it_is_not_to_be_had(cast: Cast) -> None:
    text = family_page(cast, reverse("family:home"))
    assert "Keeping this page on the phone is not available here" in text
    switch = re.search(r'<div class="tick" data-able hidden>(<input[^>]*>)', text)
    assert switch is not None
    assert "checked" not in switch[1]


def test_a_fragment_is_not_kept(cast: Cast) -> None:
    begin_now(cast)
    answer = cast.client(cast.finn).get(page(cast, "live:bell"), headers={"HX-Request": "true"})
    assert answer.status_code == 200
    assert keeping.UNTIL not in answer


def helper(cast: Cast, *, inside: bool = True) -> tuple[str, str]:
    """The key in a helper's cookie, and the id the phone is known by."""
    begin_now(cast)
    entry = live.make_pass(session=cast.session, by=cast.hazel)
    key = live.come_to_gate(entry=entry, name="Ivy")
    visitor = entry.visitors.get()
    if inside:
        live.let_in(visitor=visitor, by=cast.hazel)
    return key, str(visitor.pk)


def test_a_helpers_phone_keeps_pages_no_longer_than_the_pass(cast: Cast) -> None:
    key, _id = helper(cast)
    client = cast.client()
    client.cookies[COOKIE] = key
    cast.session.refresh_from_db()
    answer = client.get(page(cast, "live:bell"))
    assert int(answer[keeping.UNTIL]) == int((cast.session.ends_at + timedelta(minutes=30)).timestamp() * 1000)


def test_who_tells_each_phone_its_own_id_and_the_time(cast: Cast) -> None:
    key, visitor = helper(cast)
    client = cast.client()
    assert client.get(WHO).json()["owner"] == ""
    client.cookies[COOKIE] = key
    before = timezone.now().timestamp() * 1000
    told = client.get(WHO).json()
    assert told["owner"] == visitor
    assert int(before) <= told["now_ms"] <= timezone.now().timestamp() * 1000
    answer = cast.client(cast.finn).get(WHO)
    assert answer.json()["owner"] == str(cast.finn.pk)
    assert settings.CSRF_COOKIE_NAME in answer.cookies
    assert "no-store" in answer["Cache-Control"]


def test_a_pass_that_was_taken_back_owns_nothing(cast: Cast) -> None:
    key, _id = helper(cast)
    for entry in cast.session.passes.all():
        live.revoke(entry=entry, by=cast.hazel)
    client = cast.client()
    client.cookies[COOKIE] = key
    assert client.get(WHO).json()["owner"] == ""


@pytest.mark.parametrize("who", ["hazel", None])
def test_a_queue_of_somebody_else_is_not_taken(cast: Cast, who: str | None) -> None:
    client = cast.client(getattr(cast, who) if who else None)
    body = {"athlete": str(cast.ada.pk), "kind": "here"}
    answer = client.post(page(cast, "register:mark"), body, headers={keeping.OWNER: str(cast.finn.pk)})
    assert answer.status_code == 401
    assert not cast.session.marks.exists()


def test_the_own_queue_is_taken(cast: Cast) -> None:
    client = cast.client(cast.finn)
    body = {"athlete": str(cast.ada.pk), "kind": "here"}
    headers = {keeping.OWNER: str(cast.finn.pk), "Accept": "application/json"}
    assert client.post(page(cast, "register:mark"), body, headers=headers).status_code == 200
    assert cast.session.marks.count() == 1
