"""The activity library of a club: found, read, starred, copied, changed, shared, brought in, set up, drawn."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from clubapp.planning import actions, catalogue
from clubapp.planning.library.shelf import standard
from clubapp.planning.models import Activity, Session, Station
from tests.cast import Cast

BENDS = "river-bends"

pytestmark = pytest.mark.django_db


def at(name: str, *code: str) -> str:
    return reverse(f"library:{name}", args=code)


def post(cast: Cast, page: str, /, *code: str, **data: Any) -> Any:
    return cast.client(cast.hazel).post(at(page, *code), data)


def page(cast: Cast, name: str, *code: str, query: str = "") -> str:
    html: str = cast.client(cast.hazel).get(at(name, *code) + query).content.decode()
    return " ".join(html.split())


def words(**more: Any) -> dict[str, Any]:
    """What the form of a card sends."""
    return {
        "name": "Up the bank", "aims": ["straight", "chasing"], "purpose": "To push up a slope.",
        "how": "Three lanes up the bank.\nWalk down.", "look_for": "Arms\nKnees\nEyes", "easier": "Half way.",
        "harder": "Twice.", "place": "lane", "level": "steady", "tool": "", "kit": "cones:2", "kit_shared": "",
        "cautions": "Dry grass only.", "sources": "Common practice, no published source.", "ages_least": 7,
        "ages_most": 12, "children_least": 2, "children_most": 6, "queue_least": 2, "queue_most": 3, "lanes": 2,
        "at_once": 1, "work_s": 4, "every_s": 12, "rest": 4, "turns": 5, "minutes": 6, "adults": 1, "metres": 15,
        "contacts": 0, "sprints": 0, **more,
    }  # fmt: skip


def test_who_sees_it_and_who_changes_it(troupe: Cast) -> None:
    for name, status in (("hazel", 200), ("finn", 200), ("wanda", 404), ("greta", 404), ("sal", 404)):
        client = troupe.client(getattr(troupe, name))
        assert {client.get(at("cards")).status_code, client.get(at("card", BENDS)).status_code} == {status}
    for name in ("finn", "wanda", "greta", "sal"):
        client = troupe.client(getattr(troupe, name))
        doors = ("card_change", "drawing", "card_do", "card_use")
        assert {client.post(at(door, BENDS)).status_code for door in doors} == {404}
        assert {client.post(at(door)).status_code for door in ("card_new", "bring_in")} == {404}
    assert at("card_change", BENDS) not in troupe.client(troupe.finn).get(at("card", BENDS)).content.decode()
    assert not Activity.objects.exists()
    own = actions.make_activity(club=troupe.club, card=standard()[BENDS], by=troupe.hazel)
    assert troupe.client(troupe.olga).get(at("card", own.code)).status_code == 404


def test_the_list_is_narrowed_and_stars_come_first(troupe: Cast) -> None:
    post(troupe, "card_do", BENDS, do="star")
    everything = page(troupe, "cards")
    assert everything.index("River bends") < everything.index("Straight running")
    assert f"{len(standard())} activities" in everything
    found = page(troupe, "cards", query="?aim=turning&age=7&level=hard")
    assert "River bends" in found
    assert "Mooring posts" not in found  # steady
    assert page(troupe, "cards", query="?starred=on").count('class="row"') == 1
    assert "Nothing fits" in page(troupe, "cards", query="?aim=jumping&age=17")
    assert f"{len(standard())} activities" in page(troupe, "cards", query="?age=old&aim=flying")


def test_a_card_says_what_it_needs_and_how_long_one_waits(troupe: Cast) -> None:
    html = page(troupe, "card", BENDS)
    card = standard()[BENDS]
    for text in (card.purpose, *card.how, *card.look_for, *card.cautions, *card.sources):
        assert text.replace("'", "&#x27;") in html
    assert "With 5 in this lane each child runs 7 s and waits 53 s." in html
    assert "With 6 to 12 in this field each child runs 45 s and waits 45 s." in page(troupe, "card", "otters-crossing")
    assert html.count('class="ground"') == 1
    assert "7 by 19.5 m" in html
    assert "5 m beyond the top" in html


def test_a_card_of_the_library_in_the_clubs_own_words_and_back(troupe: Cast) -> None:
    assert post(troupe, "card_change", BENDS, **words()).status_code == 302
    assert catalogue.find(catalogue.of_club(troupe.club), BENDS).card.name == "Up the bank"
    assert "in our own words" in page(troupe, "card", BENDS)
    post(troupe, "card_do", BENDS, do="restore")
    assert catalogue.find(catalogue.of_club(troupe.club), BENDS).card == standard()[BENDS]
    post(troupe, "card_do", BENDS, do="away")
    assert BENDS not in [one.code for one in catalogue.offered(troupe.club)]
    post(troupe, "card_do", BENDS, do="back")
    assert BENDS in [one.code for one in catalogue.offered(troupe.club)]
    assert post(troupe, "card_do", BENDS, do="fly").status_code == 302


def test_a_copy_is_the_clubs_own_and_goes_for_good(troupe: Cast) -> None:
    leads = post(troupe, "card_do", BENDS, do="copy")["Location"]
    copy = Activity.objects.get()
    assert leads == at("card_change", copy.code)
    html = troupe.client(troupe.hazel).get(leads).content.decode()
    assert 'value="River bends, our way"' in html
    assert 'value="cones:6"' in html
    post(troupe, "card_do", copy.code, do="restore")
    assert not Activity.objects.exists()


@pytest.mark.parametrize(
    ("bad", "said"),
    [
        ({"name": ""}, "Name"),
        ({"aims": []}, "What it is for"),
        ({"look_for": "One\nTwo"}, "Look for"),
        ({"how": "x" * 300}, "Line 1: From 1 to 240 letters"),
        ({"ages_least": 13}, "The least cannot be more than the most."),
        ({"children_most": 40}, "More children than the lanes hold"),
        ({"every_s": 7}, "Too little rest with 2 in a lane"),
        ({"kit": "cones"}, "could not be read"),
        ({"turns": "many"}, "Turns of a child at most"),
    ],
    ids=str,
)
def test_bad_words_are_named_and_nothing_is_lost(troupe: Cast, bad: dict[str, Any], said: str) -> None:
    answer = post(troupe, "card_new", **words(**bad))
    html = answer.content.decode()
    assert answer.status_code == 422
    assert said in html.split("Nothing is saved yet")[1]
    assert "Dry grass only." in html
    assert not Activity.objects.exists()


def test_a_new_one_goes_on_to_its_drawing(troupe: Cast) -> None:
    assert post(troupe, "card_new", **words())["Location"] == at("drawing", "own-up-the-bank")
    assert catalogue.find(catalogue.of_club(troupe.club), "own-up-the-bank").own


def test_shared_as_a_file_and_brought_in_by_another_club(troupe: Cast) -> None:
    post(troupe, "card_change", BENDS, **words())
    client, other = troupe.client(troupe.hazel), troupe.client(troupe.olga)
    one, own = client.get(at("card_file", BENDS)), client.get(at("own_file"))
    assert [row["name"] for row in json.loads(own.content)] == ["Up the bank"]
    for data in (one.content, own.content):
        sent = other.post(at("bring_in"), {"file": SimpleUploadedFile("a.json", data)})
        assert sent.status_code == 302
    codes = Activity.objects.filter(club=troupe.other_squad.club).values_list("code", flat=True)
    assert sorted(codes) == ["own-up-the-bank", "own-up-the-bank-2"]  # nothing is overwritten
    wrong = json.loads(one.content)
    wrong["diagram"]["cones"][1]["at"] = [1, 99]
    both = json.dumps([json.loads(one.content), wrong]).encode()
    refused = other.post(at("bring_in"), {"file": SimpleUploadedFile("a.json", both)})
    assert refused.status_code == 422
    assert "[2].diagram.cones[2]: This lies outside the footprint" in refused.content.decode()
    assert Activity.objects.filter(club=troupe.other_squad.club).count() == 2


def test_set_up_in_a_session_with_its_drawing(troupe: Cast) -> None:
    post(troupe, "card_use", BENDS, session=str(troupe.session.pk))
    adds = reverse("planning:station_new", args=[troupe.session.pk])
    troupe.client(troupe.hazel).post(adds, {"starter": "card:second-bounce"})
    bends, bounce = Station.objects.filter(session=troupe.session).order_by("number")[3:]
    assert (bends.name, bends.intensity, bends.kit, bends.activity) == ("River bends", "hard", {"cones": 6}, BENDS)
    assert (bounce.kit, bounce.intensity) == ({"cones": 4, "balls": 4}, "easy")
    copy = actions.copy_session(session=troupe.session, by=troupe.hazel)
    again = Station.objects.get(session=copy, number=4)
    assert again.diagram == bends.diagram == standard()[BENDS].diagram
    html = troupe.client(troupe.finn).get(reverse("planning:station", args=[bends.pk])).content.decode()
    assert html.count('class="ground"') == 1
    assert at("card", BENDS) in html
    Session.objects.filter(pk=copy.pk).delete()
    assert post(troupe, "card_use", BENDS, session=str(troupe.other_session.pk))["Location"] == at("card", BENDS)


# --- drawn by tapping, and without scripts ----------------------------------------------------------------------------


class Desk:
    """A browser without scripts at the page of a drawing: it sends back what the page holds."""

    def __init__(self, cast: Cast, code: str) -> None:
        self.client, self.path = cast.client(cast.hazel), at("drawing", code)
        self.answer = self.client.get(self.path)

    def press(self, do: str, **more: Any) -> Desk:
        held = {name: self.answer.context[name] for name in ("drawing", "steps", "begun")}
        chosen = self.answer.context["board"].chosen
        self.answer = self.client.post(self.path, {**held, "chosen": chosen, "tool": "cone", "do": do, **more})
        return self

    def put(self, tool: str, x: float, y: float, **more: Any) -> Desk:
        return self.press("put", tool=tool, x=x, y=y, **more)

    @property
    def drawing(self) -> dict[str, Any]:
        return json.loads(self.answer.context["drawing"])


def test_a_drawing_is_changed_undone_and_kept(troupe: Cast) -> None:
    before, desk = standard()[BENDS].diagram, Desk(troupe, BENDS)
    desk.put("cone", 3, 3, label="Z").put("line", 1, 1)
    assert "now tap where it ends" in desk.answer.content.decode()
    desk.put("line", 4, 1).put("run", 2, 2).put("run", 2, 9).put("run", 5, 9)
    assert desk.drawing["cones"][-1] == {"at": [3.0, 3.0], "name": "Z"}
    assert desk.drawing["lines"] == [{"from": [1.0, 1.0], "to": [4.0, 1.0]}]
    assert desk.drawing["paths"][-1] == {"how": "run", "points": [[2.0, 2.0], [2.0, 9.0], [5.0, 9.0]]}
    desk.press("choose", chosen="cones-0").put("pick", 6, 6)
    assert desk.drawing["cones"][0]["at"] == [6.0, 6.0]
    desk.press("remove")
    assert len(desk.drawing["cones"]) == 6
    refused = desk.put("cone", 6.5, 90).answer
    assert (refused.status_code, "outside the footprint" in refused.content.decode()) == (422, True)
    assert len(desk.drawing["cones"]) == 6  # and nothing is lost
    desk.press("frame", wide=8, long=20, top=6)
    assert (desk.drawing["size"], desk.drawing["run_out"]) == ([8.0, 20.0], {"top": 6.0})
    for _step in range(8):
        desk.press("undo")
    assert desk.drawing == before
    desk.put("ball", 5, 5).press("keep")
    assert desk.answer["Location"] == at("card", BENDS)
    kept = catalogue.find(catalogue.of_club(troupe.club), BENDS).card
    assert kept.diagram["kit"] == [{"what": "ball", "at": [5.0, 5.0]}]
    assert kept.name == "River bends"


@pytest.mark.parametrize(
    "sent",
    [
        {"do": "put"},
        {"do": "put", "x": "far", "y": "1"},
        {"do": "keep", "tool": "dragon"},
        {"do": "undo", "steps": '[["cones", 0, 7, null]]', "drawing": "{"},
        {"do": "undo", "steps": '[["frame", 0, null, null]]'},
        {"do": "remove", "chosen": "cones-99"},
        {"do": "put", "tool": "line", "x": "1", "y": "1", "begun": '[["a", null]]'},
    ],
    ids=str,
)
def test_what_no_page_sends_breaks_nothing(troupe: Cast, sent: dict[str, str]) -> None:
    answer = troupe.client(troupe.hazel).post(at("drawing", BENDS), {"tool": "cone", **sent})
    assert answer.status_code in (200, 422)
    assert not Activity.objects.exists()
