"""Stations: starters, one's own, changed, moved without dragging, removed."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from clubapp.planning import queries
from clubapp.planning.forms import kit_from, kit_text
from clubapp.planning.models import Station
from clubapp.planning.starters import BY_KEY, STARTERS
from tests.cast import Cast
from tests.planning.doors import only_who_runs_it, only_who_works_here

KIT_NAMES = st.text(st.characters(categories=["L", "N"], include_characters=" -"), min_size=1, max_size=20).map(
    str.strip
)


def first(cast: Cast) -> Station:
    return Station.objects.filter(session=cast.session).earliest("number")


def address(name: str, station: Station) -> str:
    return reverse(f"planning:{name}", args=[station.pk])


def names(cast: Cast) -> list[tuple[int, str]]:
    return [(station.number, station.name) for station in queries.stations(cast.session)]


def answers(**more: Any) -> dict[str, Any]:
    return {
        "name": "Low hurdles",
        "set_up": "Five in a row.",
        "intensity": "hard",
        "groups_min": "0",
        "groups_max": "2",
        "x_m": "4.5",
        "y_m": "0",
        "kit": "hurdles:5; cones:4",
        "tools": "caller",
        **more,
    }


def test_access(cast: Cast) -> None:
    before, station = names(cast), first(cast)
    only_who_works_here(cast, address("station", station))
    only_who_runs_it(cast, address("station", station), answers())
    only_who_runs_it(cast, address("station_move", station), {"step": "1"})
    only_who_runs_it(cast, address("station_remove", station))
    only_who_runs_it(cast, reverse("planning:station_new", args=[cast.session.pk]), {"starter": "ball"})
    assert names(cast) == before


def test_the_six_starters_are_ready_to_set_up(cast: Cast) -> None:
    assert len(STARTERS) == len(BY_KEY) == 6
    assert {starter.key for starter in STARTERS} == {"straight", "turning", "reaction", "jumping", "ball", "game"}
    for starter in STARTERS:
        assert len(str(starter.set_up)) > 100
        assert starter.kit
        assert kit_from(kit_text(starter.kit)) == starter.kit
    assert BY_KEY["reaction"].tools == "caller"
    assert len({(starter.x_m, starter.y_m) for starter in STARTERS}) == 6


def test_a_starter_is_added_behind_the_others(cast: Cast) -> None:
    cast.client(cast.hazel).post(reverse("planning:station_new", args=[cast.session.pk]), {"starter": "ball"})
    assert names(cast)[-1] == (4, str(BY_KEY["ball"].name))


def test_one_of_ones_own_opens_for_its_name(cast: Cast) -> None:
    answer = cast.client(cast.hazel).post(reverse("planning:station_new", args=[cast.session.pk]), {"starter": ""})
    made = Station.objects.get(session=cast.session, number=4)
    assert answer["Location"] == address("station", made)


def test_an_unknown_starter_adds_nothing(cast: Cast) -> None:
    before, client = names(cast), cast.client(cast.hazel)
    answer = client.post(reverse("planning:station_new", args=[cast.session.pk]), {"starter": "swim"})
    assert "Choose one of the stations" in client.get(answer["Location"]).content.decode()
    assert names(cast) == before


def test_changes_are_kept(cast: Cast) -> None:
    station = first(cast)
    answer = cast.client(cast.hazel).post(address("station", station), answers())
    assert answer.status_code == 302
    station.refresh_from_db()
    assert (station.name, station.intensity, station.groups_max) == ("Low hurdles", "hard", 2)
    assert (station.x_m, station.y_m, station.kit) == (4.5, 0.0, {"hurdles": 5, "cones": 4})
    assert station.tools == "caller"


def test_the_form_shows_what_stands(cast: Cast) -> None:
    client, station = cast.client(cast.hazel), first(cast)
    client.post(address("station", station), answers())
    html = client.get(address("station", station)).content.decode()
    for value in ("Low hurdles", "hurdles:5;cones:4", "4.5"):
        assert f'value="{value}"' in html
    assert '<option value="caller" selected>' in html


def test_an_assistant_reads_the_set_up(cast: Cast) -> None:
    station = first(cast)
    cast.client(cast.hazel).post(address("station", station), answers())
    html = cast.client(cast.finn).get(address("station", station)).content.decode()
    assert "Five in a row." in html
    assert "cue caller" in html
    assert "<textarea" not in html


@pytest.mark.parametrize(
    ("bad", "words"),
    [
        ({"name": ""}, "Name"),
        ({"intensity": "extreme"}, "Intensity"),
        ({"groups_min": "3"}, "At least cannot be more than at most."),
        ({"groups_max": "0"}, "Groups at most"),
        ({"x_m": ""}, "Write both metres, or neither."),
        ({"x_m": "-1"}, "Metres east"),
        ({"y_m": "nan"}, "Metres north"),
        ({"tools": "drums"}, "On the phone"),
        ({"kit": "cones"}, "“cones” could not be read"),
        ({"kit": "cones:0"}, "“cones:0” could not be read"),
        ({"kit": "cones:8:2"}, "could not be read"),
    ],
    ids=str,
)
def test_bad_answers_change_nothing(cast: Cast, bad: dict[str, str], words: str) -> None:
    station = first(cast)
    answer = cast.client(cast.hazel).post(address("station", station), answers(**bad))
    assert answer.status_code == 422
    assert words in answer.content.decode()
    station.refresh_from_db()
    assert station.name == "Station 1"


def test_no_place_is_allowed(cast: Cast) -> None:
    station = first(cast)
    cast.client(cast.hazel).post(address("station", station), answers(x_m="", y_m=""))
    station.refresh_from_db()
    assert (station.x_m, station.y_m) == (None, None)


def test_moving_without_dragging(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    client.post(address("station_move", first(cast)), {"step": "1"})
    assert names(cast) == [(1, "Station 2"), (2, "Station 1"), (3, "Station 3")]
    client.post(address("station_move", first(cast)), {"step": "-1"})
    assert names(cast)[0] == (1, "Station 2")
    client.post(address("station_move", first(cast)), {"step": "far"})
    assert names(cast)[0] == (1, "Station 2")


def test_removing_closes_up(cast: Cast) -> None:
    cast.client(cast.hazel).post(address("station_remove", first(cast)))
    assert names(cast) == [(1, "Station 2"), (2, "Station 3")]


def test_what_the_bag_must_hold_for_all(cast: Cast) -> None:
    for station in Station.objects.filter(session=cast.session, number__lte=2):
        station.kit = {"cones": 4, "balls": 1}
        station.save()
    html = cast.client(cast.finn).get(reverse("planning:session", args=[cast.session.pk])).content.decode()
    assert "2 balls, 8 cones" in html


@given(st.dictionaries(KIT_NAMES.filter(bool), st.integers(1, 999), max_size=5))
def test_kit_survives_being_written_and_read(kit: dict[str, int]) -> None:
    assert kit_from(kit_text(kit)) == kit


@given(st.text(max_size=30))
def test_kit_is_read_or_refused(text: str) -> None:
    try:
        kit = kit_from(text)
    except ValidationError:
        return
    assert all(name.strip() and number >= 1 for name, number in kit.items())
