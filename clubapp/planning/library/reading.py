"""Reads cards: from the files of `cards/`, from a club's table, from a file another club shared, from a form.

A card has one shape everywhere and this is the only way in; whatever is wrong with it is named by its field.
"""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _

from clubapp.core.diagram import reading
from clubapp.core.reading import FileError, Reader, Trouble
from clubapp.planning.library.card import VERSION, Aim, Card, Format, Level, Place, Tool
from clubapp.planning.library.waiting import wait_in

YOUNGEST, OLDEST = 5, 18
MOST_CHILDREN, MOST_LANES = 60, 12
LOOK_FOR = 3
WORDS = {"name": 60, "purpose": 200, "easier": 240, "harder": 240}
LINES = {
    "how": ((1, 8), 240),
    "look_for": ((LOOK_FOR, LOOK_FOR), 140),
    "cautions": ((1, 6), 240),
    "sources": ((1, 6), 240),
}


def read(data: object) -> Card:
    """A card from plain data.

    Raises:
        FileError: naming every field that is wrong.
    """
    fields = Reader(data)
    fields.choice("format", Format)
    fields.whole("version", VERSION, VERSION)
    card = Card(**_words(fields), **_sizes(fields), **_load(fields), diagram=_diagram(fields))
    for name, words in clashes(card):
        fields.wrong(name, words)
    fields.done()
    return card


def read_all(data: object) -> list[Card]:
    """One card or a list of them; all or none.

    Raises:
        FileError: naming the card and the field.
    """
    rows = data if isinstance(data, list) else [data]
    if not rows:
        raise FileError([Trouble("", _("There is no activity in this file."))])
    cards, troubles = [], []
    for number, row in enumerate(rows, start=1):
        try:
            cards.append(read(row))
        except FileError as error:
            at = f"[{number}]" if isinstance(data, list) else ""
            troubles += [Trouble(f"{at}.{one.field}".strip("."), one.words) for one in error.troubles]
    if troubles:
        raise FileError(troubles)
    return cards


def _words(fields: Reader) -> dict[str, Any]:
    texts = {name: fields.text(name, most, 2) for name, most in WORDS.items()}
    lines = {name: fields.texts(name, count, most) for name, (count, most) in LINES.items()}
    return texts | lines | {"aims": fields.choices("aims", (1, 3), Aim)}


def _sizes(fields: Reader) -> dict[str, Any]:
    return {
        "ages": fields.span("ages", YOUNGEST, OLDEST),
        "children": fields.span("children", 1, MOST_CHILDREN),
        "place": fields.choice("place", Place, Place.LANE),
        "lanes": fields.whole("lanes", 1, MOST_LANES),
        "queue": fields.span("queue", 1, MOST_CHILDREN),
        "at_once": fields.whole("at_once", 1, MOST_CHILDREN, 1),
        "minutes": fields.whole("minutes", 1, 60),
        "adults": fields.whole("adults", 0, 9, 1),
        "kit": fields.counts("kit", 12, 99),
        "kit_shared": fields.counts("kit_shared", 12, 99),
        "tool": fields.choice("tool", Tool, Tool.NONE),
        "loud": fields.yes("loud"),
        "soft": fields.yes("soft"),
    }


def _load(fields: Reader) -> dict[str, Any]:
    return {
        "work_s": fields.whole("work_s", 1, 600),
        "every_s": fields.whole("every_s", 1, 900),
        "rest": fields.whole("rest", 0, 20, 0),
        "turns": fields.whole("turns", 1, 60),
        "level": fields.choice("level", Level),
        "metres": fields.whole("metres", 0, 2_000, 0),
        "contacts": fields.whole("contacts", 0, 200, 0),
        "sprints": fields.whole("sprints", 0, 20, 0),
    }


def _diagram(fields: Reader) -> dict[str, Any]:
    inner = fields.inner("diagram")
    reading.read(inner)
    return inner.data


def clashes(card: Card) -> list[tuple[str, str]]:
    """Numbers that cannot be true together, by the field to change."""
    found = []
    if card.children[1] > card.lanes * card.queue[1]:
        found.append(("children", _("More children than the lanes hold: more lanes, or more in each.")))
    if card.children[0] < card.queue[0]:
        found.append(("children", _("The least must fill one lane with the fewest it takes.")))
    if card.at_once > card.queue[1]:
        found.append(("at_once", _("More at work at once than there are in a lane.")))
    if card.every_s < card.work_s:
        found.append(
            ("every_s", _("The next one starts before the turn is over: make it at least as long as the turn."))
        )
    elif not (fewest := wait_in(card, card.queue[0])).enough:
        sentence = _("Too little rest with %(n)d in a lane: one every %(s)d s would do, or more children in it.")
        found.append(("every_s", sentence % {"n": fewest.children, "s": fewest.every_s}))
    if card.minutes * 60 < card.every_s:
        found.append(("minutes", _("Too short for one turn.")))
    return found
