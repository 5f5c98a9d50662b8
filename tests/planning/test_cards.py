"""The cards of the library and the file they are shared in: whole, true to themselves, drawn inside their footprint."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.core.diagram import drawing
from clubapp.core.diagram.shapes import Gait, Layout, Side, What
from clubapp.core.reading import FileError, json_of
from clubapp.planning.library.card import Aim, Card, Place
from clubapp.planning.library.reading import read, read_all
from clubapp.planning.library.shelf import standard
from clubapp.planning.library.waiting import wait_in, waits
from tests.rules.test_words import FORBIDDEN

UNSOURCED = "common practice, no published source"
KIT = {What.BALL: "balls", What.HOOP: "hoops", What.MARKER: "flat markers", What.BEANBAG: "beanbags",
       What.HURDLE: "low hurdles", What.MAT: "mats"}  # fmt: skip
FASTEST = 8.0  # metres a second; no child of these ages is quicker


def plain(code: str = "river-bends") -> dict[str, Any]:
    return json.loads(json.dumps(standard()[code].as_json()))


def texts(card: Card) -> list[str]:
    lines = (*card.how, *card.look_for, *card.cautions, *card.sources)
    return [card.name, card.purpose, card.easier, card.harder, *lines]


# --- the cards that come with the house ------------------------------------------------------------------------------


def test_there_are_enough_of_every_aim() -> None:
    firsts = Counter(card.aims[0] for card in standard().values())
    assert len(standard()) >= 36
    assert min(firsts[aim] for aim in Aim) >= 6
    assert len({card.name for card in standard().values()}) == len(standard())


@pytest.mark.parametrize("code", standard())
def test_a_card_is_whole_and_its_numbers_agree(code: str) -> None:
    card, layout = standard()[code], standard()[code].layout
    assert read(json.loads(json.dumps(card.as_json()))) == card
    assert len(card.look_for) == 3
    assert [text for text in texts(card) if FORBIDDEN.search(text)] == []
    assert all(UNSOURCED in line or "NSCA" in line or "published" in line for line in card.sources)
    assert layout.room is not None
    assert all(layout.room.holds(point) for point in layout.points)
    assert layout.people
    assert layout.paths
    assert layout.measures
    assert all(wait.enough for wait in waits(card))
    assert kit_is_drawn(card, layout) == []
    safe(card, layout)


def kit_is_drawn(card: Card, layout: Layout) -> list[str]:
    """Every cone of the bag list is on the drawing; of other kit never more than is listed."""
    listed = sum(number for name, number in card.kit_all.items() if name.endswith("cones"))
    wrong = [] if listed == len(layout.cones) else [f"{listed} cones listed, {len(layout.cones)} drawn"]
    drawn = Counter(KIT[item.what] for item in layout.items)
    return wrong + [name for name, number in drawn.items() if number > card.kit_all.get(name, 0)]


def safe(card: Card, layout: Layout) -> None:
    """What a wrong card could do to a child."""
    assert layout.room is not None
    assert card.turns * card.contacts <= 40  # half of the lowest range in print, 80: our own caution
    if Aim.JUMPING in card.aims:
        assert card.rest >= 5
    if card.sprints:
        assert card.rest >= 12
        assert max(layout.room.beyond.values()) >= (18 if card.metres >= 15 else 5)
    if card.metres and card.contacts == 0:
        assert card.metres / card.work_s <= FASTEST
    if any(path.gait is Gait.BACK for path in layout.paths):
        assert layout.room.beyond[Side.BOTTOM] >= 3
    if card.place is Place.LANE and card.aims[0] is Aim.STRAIGHT:
        way = sum(path.length for path in layout.paths if path.gait is not Gait.WALK or card.level == "easy")
        assert way / card.lanes == pytest.approx(card.metres, abs=1.5)


def test_the_drawing_needs_no_colour_and_says_what_it_shows() -> None:
    card = standard()["straight-to-the-post"]
    svg = drawing.svg(card.layout, card.name)
    assert "fill=" not in svg
    assert "#" not in svg
    for words in ("Ground: 10 m across, 24 m up", "Keep 18 m free beyond its top edge.", "8 cones.", "run, 20 m: from"):
        assert words in svg
    assert svg.count(">18 m free<") == 1  # written into the drawing itself


# --- how long one waits ----------------------------------------------------------------------------------------------


def test_who_works_at_once_waits_as_one() -> None:
    card = standard()["rope-ripple"]  # two jump for 10 s, one pair every 30 s
    assert (wait_in(card, 4).wait_s, wait_in(card, 5).wait_s) == (50, 80)
    assert (wait_in(card, 2).enough, wait_in(card, 2).every_s) == (False, 60)


# --- a file that is wrong --------------------------------------------------------------------------------------------

Change = Callable[[dict[str, Any]], object]
WRONG: dict[str, Change] = {
    "format": lambda card: card.update(format="other"),
    "version": lambda card: card.update(version=2),
    "name": lambda card: card.pop("name"),
    "aims[1]": lambda card: card.update(aims=["flying"]),
    "look_for": lambda card: card.update(look_for=["one", "two"]),
    "how[2]": lambda card: card["how"].__setitem__(1, ""),
    "ages": lambda card: card.update(ages=[12, 7]),
    "children": lambda card: card.update(children=[3, 50]),
    "queue": lambda card: card.update(queue=[0, 6]),
    "every_s": lambda card: card.update(every_s=8),  # shorter than is needed for rest
    "kit": lambda card: card.update(kit={"cones:": 6}),
    "kit.cones": lambda card: card.update(kit={"cones": True}),
    "work_s": lambda card: card.update(work_s="soon"),
    "loud": lambda card: card.update(loud="very"),
    "score": lambda card: card.update(score=3),
    "diagram.size": lambda card: card["diagram"].update(size=[0.2, 500]),
    "diagram.run_out.top": lambda card: card["diagram"].update(run_out={"top": -1}),
    "diagram.run_out.north": lambda card: card["diagram"].update(run_out={"north": 3}),
    "diagram.cones[1].at": lambda card: card["diagram"]["cones"][0].update(at=[1]),
    "diagram.cones[2]": lambda card: card["diagram"]["cones"][1].update(at=[1, 99]),  # outside the footprint
    "diagram.paths[1].how": lambda card: card["diagram"]["paths"][0].update(how="fly"),
    "diagram.paths[2].points": lambda card: card["diagram"]["paths"][1].update(points=[[1, 1]]),
    "diagram.people[1].who": lambda card: card["diagram"]["people"][0].update(who="dog"),
    "diagram.kit[1].what": lambda card: card["diagram"].update(kit=[{"at": [1, 1]}]),
    "diagram": lambda card: card.update(diagram=[]),
}


@pytest.mark.parametrize("field", WRONG)
def test_a_wrong_field_is_named(field: str) -> None:
    card = plain()
    WRONG[field](card)
    with pytest.raises(FileError) as caught:
        read(card)
    assert field in {trouble.field for trouble in caught.value.troubles}


def test_of_several_cards_the_wrong_one_is_named_and_none_is_taken() -> None:
    with pytest.raises(FileError) as caught:
        read_all([plain(), plain() | {"turns": 0}])
    assert [trouble.field for trouble in caught.value.troubles] == ["[2].turns"]
    assert [card.name for card in read_all([plain()])] == ["River bends"]
    with pytest.raises(FileError):
        read_all([])


@pytest.mark.parametrize("data", [b"", b"{", b"\xff\xfe", b'{"a": NaN}', b"[" * 9000, b"1" * 9000, b" " * 60_000])
def test_what_is_no_json_is_refused(data: bytes) -> None:
    with pytest.raises(FileError):
        read_all(json_of(data, 50_000))


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=5,
)


@given(st.sampled_from(sorted(plain())), JSON)
def test_anything_is_read_or_refused(field: str, value: object) -> None:
    try:
        card = read(plain() | {field: value})
    except FileError:
        return
    assert drawing.svg(card.layout, card.name)
