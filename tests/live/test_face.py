"""The scoreboard as the page is sent: a phone shows it before any script is there."""

from __future__ import annotations

import re
from html import unescape

import pytest
from django.urls import reverse

from clubapp.live import page
from clubapp.live.face import Face, face_of
from tests.cast import Cast
from tests.live.evening import assistant, give, leader, ready

ROUND = re.compile(r'data-turn="(\d)"( data-now)?')


def face(cast: Cast) -> Face:
    evening = page.evening_of(assistant(cast))
    return face_of(evening.state, evening.seen)


def to(cast: Cast, kind: str) -> None:
    """Start, and skip to the next part of a kind."""
    give(leader(cast), "start")
    while (now := page.evening_of(leader(cast))).seen.kind != kind:
        give(leader(cast), "next", now.state.seq)


def sent(cast: Cast, name: str) -> str:
    ids = [cast.session.pk] if name == "bell" else [cast.session.pk, cast.session.stations.get(number=2).pk]
    who = cast.hazel if name == "bell" else cast.finn
    return unescape(cast.client(who).get(reverse(f"live:{name}", args=ids)).content.decode())


def test_before_the_start_the_first_round_is_to_be_seen(cast: Cast) -> None:
    ready(cast)
    rounds = len(page.visits(page.evening_of(assistant(cast)), cast.session.stations.get(number=1)))
    assert face(cast) == Face("waiting", "READY", f"round 1 of {rounds}", "before", 1, figures=False)


def test_in_work_its_round_is(cast: Cast) -> None:
    ready(cast)
    to(cast, "work")
    found = face(cast)
    assert (found.field, found.word, found.scene, found.turn, found.figures) == ("work", "WORK", "work", 1, True)


def test_on_the_way_the_round_they_walk_to_is(cast: Cast) -> None:
    ready(cast)
    to(cast, "change")
    found = face(cast)
    assert (found.field, found.word, found.scene, found.turn) == ("move", "MOVE", "before", 2)
    assert found.round.startswith("round 2 of ")


@pytest.mark.parametrize(
    ("kind", "field", "word", "figures"),
    [("pause", "paused", "PAUSED", True), ("stop", "stopped", "", True), ("end", "ended", "ENDED", False)],
)
def test_what_was_called_is_said(cast: Cast, kind: str, field: str, word: str, figures: bool) -> None:
    ready(cast)
    to(cast, "work")
    give(leader(cast), kind, page.evening_of(leader(cast)).state.seq)
    found = face(cast)
    assert (found.field, found.word, found.figures) == (field, word, figures)


@pytest.mark.parametrize("name", ["bell", "station"])
@pytest.mark.parametrize("kind", ["work", "change"])
def test_the_page_holds_it_without_a_script(cast: Cast, name: str, kind: str) -> None:
    ready(cast)
    to(cast, kind)
    html, told = sent(cast, name), face(cast)
    assert f'data-told="{told.field} {told.scene} ' in html
    assert f"data-face-word>{told.word}</p>" in html
    assert f"data-face-round>{told.round}</span>" in html
    assert [number for number, now in ROUND.findall(html) if now] == [str(told.turn)]
