"""A drawing in words: for who does not see it, and for the key under it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clubapp.core.diagram.shapes import Gait, Layout, Leg, Number, Path, Point, Room, Side, What, Who

TENTH = Decimal("0.1")


def length_words(length: object, unit: str) -> str:
    text = f"{length}"
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} {unit}"


def line_word(name: str) -> str:
    words = {
        "start": _("start"), "finish": _("finish"), "turn": _("turn"), "gate": _("gate"), "run-in": _("run-in"),
        "heel": _("heel"),
    }  # fmt: skip
    return words.get(name, name)


def gait_word(gait: Gait) -> str:
    words = {
        Gait.RUN: _("run"), Gait.SHUFFLE: _("sideways, feet not crossing"), Gait.BACK: _("backwards"),
        Gait.JUMP: _("jump or hop"), Gait.RUN_IN: _("run-in, before the time starts"), Gait.WALK: _("walk"),
        Gait.DRIBBLE: _("with a ball"), Gait.FLIGHT: _("the ball"),
    }  # fmt: skip
    return words[gait]


def who_word(who: Who) -> str:
    words = {
        Who.CHILD: _("child at work"), Who.WAITING: _("child waiting"), Who.CHASER: _("chaser"), Who.ADULT: _("adult"),
    }  # fmt: skip
    return words[who]


def what_word(what: What) -> str:
    words = {
        What.BALL: _("ball"), What.HOOP: _("hoop"), What.MARKER: _("flat marker"), What.BEANBAG: _("beanbag"),
        What.HURDLE: _("low hurdle"), What.MAT: _("mat"),
    }  # fmt: skip
    return words[what]


def side_word(side: Side) -> str:
    words = {Side.TOP: _("top"), Side.RIGHT: _("right"), Side.BOTTOM: _("bottom"), Side.LEFT: _("left")}
    return words[side]


def in_words(layout: Layout) -> list[str]:
    """The room, what stands in it and each way as a sentence."""
    return [*_room(layout), *_standing(layout), *_legs(layout), *_paths(layout)]


def _room(layout: Layout) -> Iterator[str]:
    room: Room | None = layout.room
    if room is None:
        return
    yield _("Ground: %(wide)s across, %(long)s up the drawing.") % {
        "wide": length_words(room.wide, layout.unit),
        "long": length_words(room.long, layout.unit),
    }
    for side, metres in room.beyond.items():
        yield _("Keep %(far)s free beyond its %(side)s edge.") % {
            "far": length_words(metres, layout.unit),
            "side": side_word(side),
        }


def _standing(layout: Layout) -> Iterator[str]:
    for area in layout.areas:
        said = {"name": area.name or _("marked part"), "at": _at(area.corner)}
        size = {"wide": length_words(area.size[0], layout.unit), "long": length_words(area.size[1], layout.unit)}
        yield _("%(name)s: %(wide)s by %(long)s from %(at)s.") % (said | size)
    for line in layout.lines if layout.room else ():
        said = {"name": line_word(line.name) or _("line"), "from": _at(line.start), "to": _at(line.end)}
        yield _("%(name)s: from %(from)s to %(to)s.") % said
    counted: Counter[str] = Counter(who_word(person.who) for person in layout.people)
    counted.update(what_word(item.what) for item in layout.items)
    cones = len(layout.cones) if layout.room else 0
    if cones:
        yield ngettext("%(n)d cone.", "%(n)d cones.", cones) % {"n": cones}
    if counted:
        yield ", ".join(f"{word}: {number}" for word, number in counted.items()) + "."


def _legs(layout: Layout) -> Iterator[str]:
    names = {cone.at: cone.name for cone in layout.cones if cone.name}
    for number, leg in enumerate(layout.legs, start=1):
        said = {"n": number, "how": gait_word(leg.gait), "to": names.get(leg.end, ""), "far": _far(layout, leg)}
        yield _("%(n)d: %(how)s to %(to)s, %(far)s.") % said if said["to"] else _("%(n)d: %(how)s, %(far)s.") % said


def _far(layout: Layout, leg: Leg) -> str:
    if leg.gait is Gait.JUMP:
        return _("as far as it goes")
    return length_words(leg.length.quantize(TENTH) if leg.length % 1 else leg.length, layout.unit)


def _paths(layout: Layout) -> Iterator[str]:
    names = {cone.at: cone.name for cone in layout.cones if cone.name}
    for path in layout.paths:
        places = _(" to ").join(names.get(point) or _at(point) for point in path.points)
        far = length_words(path_length(path), layout.unit)
        yield _("%(how)s, %(far)s: from %(places)s.") % {"how": gait_word(path.gait), "far": far, "places": places}


def path_length(path: Path) -> Decimal:
    """To a tenth, as it is told."""
    return path.length.quantize(TENTH)


def _at(point: Point) -> str:
    return _("%(x)s right, %(y)s up") % {"x": _number(point[0]), "y": _number(point[1])}


def _number(value: Number) -> str:
    return length_words(value, "").strip()
