"""A suggested session: picked, swapped, kept, taken; and what near a range is told."""

from __future__ import annotations

import re
from datetime import timedelta
from html import unescape
from typing import Any
from urllib.parse import parse_qsl

import pytest
from django.urls import reverse

from clubapp.planning import queries
from clubapp.planning.actions import copy_session, keep_kit
from clubapp.planning.library.shelf import standard
from clubapp.planning.models import Kit, Session, Station, Venue
from tests.cast import Cast
from tests.planning.doors import OUTSIDERS, only_who_runs_it

ASK = "go=new&aims=straight&aims=ball&children=8&youngest=8&oldest=11&adults=3&stations=2"


@pytest.fixture
def coming(cast: Cast) -> Session:
    """Next week's."""
    cast.session.date += timedelta(days=7)
    cast.session.save()
    return cast.session


def page(cast: Cast, session: Session, query: str = "") -> str:
    answer = cast.client(cast.hazel).get(f"{reverse('planning:menu', args=[session.pk])}?{query}")
    assert answer.status_code == 200
    return unescape(answer.content.decode())


def state(html: str) -> list[tuple[str, str]]:
    """What the form of "take it" would send."""
    form = html[html.index("suggest/take/") :]
    pairs = re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)">', form)
    return [(name, value) for name, value in pairs if name != "csrfmiddlewaretoken"]


def cards(html: str) -> list[str]:
    return [value for name, value in state(html) if name == "card"]


def sent(pairs: list[tuple[str, str]], **more: Any) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for name, value in [*pairs, *((name, str(value)) for name, value in more.items())]:
        found.setdefault(name, []).append(value)
    return found


def test_access(cast: Cast, coming: Session) -> None:
    address = reverse("planning:menu", args=[coming.pk])
    only_who_runs_it(cast, reverse("planning:menu_take", args=[coming.pk]))
    for name in (*OUTSIDERS, "finn"):
        assert cast.client(getattr(cast, name)).get(address).status_code == 404, name


def test_from_one_tap_to_a_session_that_adds_up(cast: Cast, coming: Session) -> None:
    first = page(cast, coming)
    assert 'name="wide" value' not in first
    coming.venue = Venue.objects.create(club=cast.club, name="Hall", outline=[[0, 0], [30, 0], [30, 20], [0, 20]])
    coming.save()
    assert 'name="wide" value="30"' in page(cast, coming)
    assert "Nobody was marked yet: these are all 6 children of the squad." in first
    html = page(cast, coming, ASK)
    assert "No other choice of these activities fits your wishes better." in html
    assert "kit was not looked at" in html
    assert "A game for everybody at the end." in html
    assert re.search(r"With \d in this \w+ each child runs \d+ s and waits \d+ s\.", html)
    before = Station.objects.filter(session=coming).count()
    swapped = page(
        cast, coming, f"{ASK}&swap=1&" + "&".join(f"{n}={v}" for n, v in state(html) if n in ("card", "minutes"))
    )
    assert [a == b for a, b in zip(cards(html), cards(swapped), strict=True)] == [True, False, True, True, True]
    assert Station.objects.filter(session=coming).count() == before  # looking writes nothing
    answer = cast.client(cast.hazel).post(reverse("planning:menu_take", args=[coming.pk]), sent(state(swapped)))
    assert answer["Location"] == reverse("planning:session", args=[coming.pk])
    assert [one.activity for one in queries.stations(coming)] == cards(swapped)[1:3]
    parts = [(block.kind, block.activity) for block in queries.blocks(coming)]
    assert [kind for kind, _code in parts] == ["gather", "warm-up", "rotation", "water", "game", "cool-down"]
    assert [code for _kind, code in parts if code] == [cards(swapped)[0], *cards(swapped)[3:]]
    assert queries.rotation_minutes(coming) * 60 + queries.other_seconds(coming) == coming.minutes * 60


def test_what_is_kept_stays_and_the_others_change(cast: Cast, coming: Session) -> None:
    html = page(cast, coming, ASK)
    kept = "&".join(f"{name}={value}" for name, value in state(html) if name in ("card", "minutes"))
    again = page(cast, coming, f"{ASK.replace('go=new', 'go=again')}&{kept}&keep=2")
    assert cards(again)[2] == cards(html)[2]
    assert cards(again) != cards(html)
    assert "You kept it." in again


def test_the_bag_is_held_against_it(cast: Cast, coming: Session) -> None:
    keep_kit(club=cast.club, owned={"cones": 2, "balls": 40}, by=cast.hazel)
    html = page(cast, coming, ASK)
    assert "This cannot be had together:" in html
    assert "The club has 2 cones. Find more cones." in re.sub(r"<[^>]*>", "", html)


def test_what_clashes_has_a_way_out_at_a_tap(cast: Cast, coming: Session) -> None:
    """Every activity about chasing was played last week: that aim and "nothing again" cannot be had together."""
    before = copy_session(session=coming, by=cast.hazel, day=coming.date - timedelta(days=7))
    Station.objects.filter(session=before).delete()
    chasing = [code for code, card in standard().items() if "chasing" in card.aims]
    for number, code in enumerate(chasing, start=1):
        Station.objects.create(session=before, number=number, name="x", activity=code)
    html = page(cast, coming, f"{ASK}&aims=chasing")
    told = " ".join(re.sub(r"<[^>]*>", " ", html).split())
    assert "Nothing of the last two weeks comes again." in told
    way = re.search(r'href="\?([^"]*)#menu">Let what was played come again', html)
    assert way is not None
    assert "No other choice" in page(cast, coming, way[1])


@pytest.mark.parametrize("wrong", ["stations=9", "youngest=12", "wide=20", "children=x", "aims=flying"])
def test_what_cannot_be_is_named_and_kept(cast: Cast, coming: Session, wrong: str) -> None:
    name = wrong.split("=")[0]
    query = [(n, v) for n, v in parse_qsl(ASK) if n != name] + [(name, wrong.split("=")[1])]
    answer = cast.client(cast.hazel).get(reverse("planning:menu", args=[coming.pk]), sent(query))
    assert answer.status_code == 422
    assert "Nothing is saved yet. Please look at:" in answer.content.decode()


def test_nonsense_between_two_taps_is_a_new_suggestion(cast: Cast, coming: Session) -> None:
    html = page(cast, coming, f"{ASK}&card=nobody&minutes=-1&keep=99&keep=x&swap=77")
    assert "No other choice" in html


def test_a_session_that_has_begun_stays_and_a_menu_that_no_longer_fits_is_not_taken(
    cast: Cast, coming: Session
) -> None:
    html = page(cast, coming, ASK)
    path, stations = reverse("planning:menu_take", args=[coming.pk]), queries.stations(coming).count()
    keep_kit(club=cast.club, owned={"balls": 1}, by=cast.hazel)
    answer = cast.client(cast.hazel).post(path, sent(state(html)))
    assert answer["Location"] == reverse("planning:menu", args=[coming.pk])
    assert cast.client(cast.hazel).post(path, {"children": "x"})["Location"] == answer["Location"]
    Kit.objects.all().delete()
    coming.date -= timedelta(days=30)
    coming.save()
    cast.client(cast.hazel).post(path, sent(state(html)))
    assert queries.stations(coming).count() == stations
    assert {one.activity for one in queries.stations(coming)}.isdisjoint(cards(html))
