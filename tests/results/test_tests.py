"""The club's tests: standard ones with their layouts, its own, what may be changed of them, and who sees them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from clubapp.core.diagram import strokes, words
from clubapp.results import actions, catalogue, library
from clubapp.results.models import Trial
from tests.cast import Cast

FORM = {
    "name": "River bend",
    "unit": "s",
    "better": "less",
    "hand_rounding": "on",
    "distance": "65",
    "distance_unit": "yd",
    "attempts": "3",
    "least": "9",
    "most": "30",
    "how": "From the gate to the willow.\nAn adult at the bend.",
}


def address(page: str, *code: str) -> str:
    return reverse(f"results:{page}", args=code)


def post(cast: Cast, page: str, /, *code: str, who: Any = None, **fields: Any) -> Any:
    return cast.client(who or cast.hazel).post(address(page, *code), fields)


# --- who sees them -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("who", "status"), [("hazel", 200), ("finn", 200), ("wanda", 404), ("greta", 404), ("sal", 404)]
)
def test_who_runs_tests_sees_them(cast: Cast, who: str, status: int) -> None:
    client = cast.client(getattr(cast, who))
    assert client.get(address("tests")).status_code == status
    assert client.get(address("test", "t-run")).status_code == status


@pytest.mark.parametrize("who", ["finn", "wanda", "greta", "sal"])
def test_only_the_head_coach_changes_them(cast: Cast, who: str) -> None:
    adult = getattr(cast, who)
    for name, code in (("test_new", ()), ("test_change", ("t-run",)), ("test_archive", ("t-run",))):
        assert post(cast, name, *code, who=adult, **FORM).status_code == 404
    assert Trial.objects.count() == 0
    if who == "finn":
        page = cast.client(adult).get(address("test", "t-run")).content.decode()
        assert address("test_change", "t-run") not in page


def test_another_club_s_own_test_is_not_there(cast: Cast) -> None:
    own = actions.make_test(club=cast.club, wish=actions.Wish("River bend"))
    assert cast.client(cast.olga).get(address("test", own.code)).status_code == 404
    assert "River bend" not in cast.client(cast.olga).get(address("tests")).content.decode()


# --- standard tests ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("code", library.standards())
def test_every_standard_test_has_a_page_with_its_ground_and_its_source(cast: Cast, code: str) -> None:
    standard = library.standards()[code]
    page = cast.client(cast.hazel).get(address("test", code)).content.decode()
    assert page.count('class="ground"') == 1
    assert "Source:" in page
    assert standard.how
    assert Trial.objects.count() == 0  # looking makes nothing


@pytest.mark.parametrize("code", library.standards())
def test_the_ground_is_drawn_to_scale(code: str) -> None:
    """Every leg that is drawn straight has one and the same ratio of drawn to true length."""
    layout = library.standards()[code].layout
    scale = strokes.scale_of(layout)
    for leg in layout.legs:
        (x1, y1), (x2, y2) = scale.beside(leg.start, leg.end, leg.aside)
        drawn = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
        assert drawn == pytest.approx(float(leg.length) * scale.factor)


def test_the_drawing_says_the_way_to_who_does_not_see_it() -> None:
    told = words.in_words(library.standards()["t-run"].layout)
    assert told[:2] == ["1: run to B, 10 yd.", "2: sideways, feet not crossing to C, 5 yd."]
    assert len(told) == 5


def test_a_standard_test_gets_a_row_when_it_is_first_changed(cast: Cast) -> None:
    fields = FORM | {
        "name": "T run on the lawn",
        "unit": "m",
        "better": "more",
        "distance": "7",
        "least": "",
        "most": "",
    }
    answer = post(cast, "test_change", "t-run", **fields)
    assert answer.status_code == 302
    row = Trial.objects.get()
    assert (row.code, row.name, row.attempts, row.least) == ("t-run", "T run on the lawn", 3, None)
    assert (row.unit, row.better, row.distance, row.distance_unit) == ("s", "less", 40, "yd")  # these stay


# --- the club's own ------------------------------------------------------------------------------------------------


def test_a_test_of_the_club_s_own(cast: Cast) -> None:
    answer = post(cast, "test_new", **FORM)
    row = Trial.objects.get()
    assert answer["Location"] == address("test", row.code) == "/tests/own-river-bend/"
    assert (row.least, row.most, row.attempts) == (9_000, 30_000, 3)
    assert row.distance_m == Decimal("59.436")  # 65 yards, exactly
    page = cast.client(cast.hazel).get(answer["Location"]).content.decode()
    assert "An adult at the bend." in page
    assert "9 to 30 s" in " ".join(page.split())
    assert post(cast, "test_new", **FORM | {"name": "river  bend"}).status_code == 200  # the name is taken
    assert Trial.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "value", "word"),
    [
        ("name", "", "Name"),
        ("unit", "miles", "Measured in"),
        ("attempts", "0", "Attempts"),
        ("least", "soon", "Ask below"),
        ("most", "8", "Ask above"),
        ("distance", "-3", "Distance"),
        ("distance", "a lot", "Distance"),
    ],
)
def test_what_is_wrong_is_named_and_nothing_is_lost(cast: Cast, field: str, value: str, word: str) -> None:
    page = post(cast, "test_new", **FORM | {field: value})
    assert (page.status_code, Trial.objects.count()) == (200, 0)
    text = page.content.decode()
    assert word in text.split("Nothing is saved yet")[1].split("</ul>")[0]
    assert "An adult at the bend." in text


def test_a_length_is_typed_in_its_own_unit(cast: Cast) -> None:
    post(cast, "test_new", **FORM | {"unit": "cm", "better": "more", "least": "40", "most": "320,5"})
    row = Trial.objects.get()
    assert (row.least, row.most, row.less_is_better, row.is_timed) == (400, 3_205, False, False)


def test_a_test_with_results_keeps_what_it_measures(cast: Cast) -> None:
    row = actions.make_test(club=cast.club, wish=actions.Wish("River bend"))
    reading = actions.Reading(row, cast.ada, 12_000)
    post(cast, "test_change", row.code, **FORM | {"better": "more"})
    assert Trial.objects.get().better == "more"  # nothing is measured yet
    actions.record_result(reading=reading, sent=actions.Sent())
    post(cast, "test_change", row.code, **FORM | {"better": "less", "unit": "m", "name": "Bend"})
    row.refresh_from_db()
    assert (row.name, row.better, row.unit) == ("Bend", "more", "s")


def test_a_test_put_away_is_offered_nowhere_and_comes_back(cast: Cast) -> None:
    for code in ("t-run", actions.make_test(club=cast.club, wish=actions.Wish("River bend")).code):
        assert post(cast, "test_archive", code).status_code == 302
        assert code not in [test.code for test in catalogue.offered(cast.club)]
        assert cast.client(cast.hazel).get(address("test", code)).status_code == 200
        post(cast, "test_archive", code, back="yes")
        assert code in [test.code for test in catalogue.offered(cast.club)]


def test_two_names_that_look_alike_in_an_address_are_two_tests(cast: Cast) -> None:
    codes = [actions.make_test(club=cast.club, wish=actions.Wish(name)).code for name in ("Ä-run", "A run", "ß", "?")]
    assert len(set(codes)) == 4
    assert actions.make_test(club=cast.other_squad.club, wish=actions.Wish("A run")).code == codes[0]
