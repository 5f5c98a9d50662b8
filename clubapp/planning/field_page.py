"""What the page of a field plan shows: the drawing, what is wrong, how to set it out, what to carry."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from clubapp.engine import layout as engine
from clubapp.engine.outcome import Outcome, Reason, Status
from clubapp.planning import field_drawing, queries
from clubapp.planning.field_bridge import Field, field_of, on_ground
from clubapp.planning.models import Session, Station


@dataclass(frozen=True)
class Row:
    """One station of the list. first: where its first cone stands; runs: which way children run out, if they do."""

    station: Station
    id: str
    placed: bool
    first: str = ""
    runs: str = ""


@dataclass(frozen=True)
class Page:
    session: Session
    field: Field | None
    chosen: str
    picture: SafeString | str
    troubles: tuple[str, ...]
    near: tuple[str, ...]
    rows: tuple[Row, ...]
    bag: tuple[str, ...]
    short: tuple[str, ...]
    metres: int


def page_of(session: Session, chosen: str = "") -> Page:
    stations = tuple(queries.stations(session))
    bag, short = bag_of(stations, queries.kit_of(session.club))
    if session.venue is None:
        rows = tuple(Row(one, str(one.pk), False) for one in stations)
        return Page(session, None, chosen, "", (), (), rows, bag, short, 0)
    field = field_of(session.venue, stations)
    placed = _placed(field)
    answer = engine.Answer(placed.placed)
    reasons = list(engine.troubles(placed.problem, answer))
    wrong = frozenset(one for reason in reasons for one in reason.about)
    return Page(
        session=session,
        field=field,
        chosen=chosen,
        picture=field_drawing.svg(placed, wrong, chosen),
        troubles=tuple(trouble_words(reason, field.problem) for reason in reasons),
        near=tuple(_near(placed.problem, answer)),
        rows=tuple(_row(field, one) for one in stations),
        bag=bag,
        short=short,
        metres=round(engine.walk(placed.problem, answer)),
    )


def _placed(field: Field) -> Field:
    """The field with those stations alone that have a place."""
    there = {place.station for place in field.placed}
    rooms = tuple(one for one in field.problem.stations if one.id in there)
    problem = engine.Problem(field.problem.ground, rooms, names=field.problem.names)
    return Field(field.venue, field.stations, problem, field.drawings, field.placed)


def trouble_words(reason: Reason, problem: engine.Problem) -> str:
    numbers = [problem.name(one) for one in reason.about]
    said = {"one": numbers[0] if numbers else "", "two": numbers[-1] if numbers else "", "all": ", ".join(numbers)}
    words = {
        "outside": _("Station %(one)s is not wholly inside the field, a metre from its edge."),
        "hazard": _("Station %(one)s is on a hazard or a closed strip, or less than a metre from it."),
        "point": _("Station %(one)s stands where the water or the first-aid point is."),
        "cut off": _("From station %(one)s nobody gets to water and first aid."),
        "crowded": _("Stations %(one)s and %(two)s overlap, or leave no metre between them."),
        "facing": _("Children at stations %(one)s and %(two)s run out towards each other."),
        "stays": _("Station %(one)s cannot stay where it is."),
        "room": _("There is not ground enough for: %(all)s. Leave one out, or take a smaller set-up."),
        "time": _("No places were found in the time there is. Leave a station out, or place some by hand."),
    }
    return words[reason.code] % said


def _near(problem: engine.Problem, answer: engine.Answer) -> Iterator[str]:
    """Loud beside listening is no danger: a hint, no trouble."""
    for one, two, missing in engine.drowned(problem, answer):
        said = {"one": problem.name(one), "two": problem.name(two), "n": -(-missing // engine.UNIT)}
        yield (
            _("Stations %(one)s and %(two)s: one is loud, at the other children listen. %(n)d m more would help.")
            % said
        )


# --- setting out -----------------------------------------------------------------------------------------------------


def _row(field: Field, station: Station) -> Row:
    one = str(station.pk)
    place = next((place for place in field.placed if place.station == one), None)
    if place is None:
        return Row(station, one, False)
    return Row(station, one, True, _first(field, place), _runs(field, place))


def _first(field: Field, place: engine.Place) -> str:
    """The first cone from two lines of the field; the corner of its ground where it has no cone."""
    drawn = field.drawings.get(place.station)
    has_cone = bool(drawn and drawn.cones)
    corner = (float(drawn.cones[0].at[0]), float(drawn.cones[0].at[1])) if drawn and drawn.cones else (0.0, 0.0)
    x, y = on_ground(field.problem, place, corner)
    words = _("first cone %(along)s, %(across)s") if has_cone else _("corner of its ground %(along)s, %(across)s")
    return words % dict(zip(("across", "along"), _measured(field, x, y), strict=True))


def _measured(field: Field, x: float, y: float) -> tuple[str, str]:
    """Across and along: from the nearest lines of a rectangle, else from the first corner that was written down."""
    box = field.venue.box
    if box is None:
        left, bottom = field.venue.outline[0]
        across = _("%(m)s m east") if x >= left else _("%(m)s m west")
        along = _("%(m)s m north") if y >= bottom else _("%(m)s m south")
        from_corner = _("%(words)s of the first corner")
        return from_corner % {"words": across % {"m": _m(abs(x - left))}}, along % {"m": _m(abs(y - bottom))}
    east, north = box[0] - x, box[1] - y
    across = _("%(m)s m from the east line") if east < x else _("%(m)s m from the west line")
    along = _("%(m)s m from the north line") if north < y else _("%(m)s m from the south line")
    return across % {"m": _m(min(x, east))}, along % {"m": _m(min(y, north))}


def _m(metres: float) -> str:
    return f"{metres:.1f}"


def _runs(field: Field, place: engine.Place) -> str:
    """Which way its drawing's top points."""
    ways = (_("north"), _("east"), _("south"), _("west"))
    return _("the top of its drawing points %(way)s") % {"way": ways[place.turn]}


# --- the bag ---------------------------------------------------------------------------------------------------------


def bag_of(stations: tuple[Station, ...], owned: Mapping[str, int]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What all stations need together, and where the club owns less: what to do about it."""
    total: Counter[str] = Counter()
    for station in stations:
        total.update(station.kit)
    bag = tuple(f"{number} {name}" for name, number in sorted(total.items()))
    missing = [(name, number) for name, number in sorted(total.items()) if name in owned and number > owned[name]]
    return bag, tuple(_short(stations, name, number, owned[name]) for name, number in missing)


def _short(stations: tuple[Station, ...], name: str, number: int, owned: int) -> str:
    """The station that would free enough by the least, else the one that uses most."""
    users = sorted((one for one in stations if one.kit.get(name)), key=lambda one: (one.kit[name], one.number))
    enough = next((one for one in users if one.kit[name] >= number - owned), users[-1])
    said = {"need": number, "name": name, "owned": owned, "at": enough.number}
    if name == "cones":
        return _("%(need)d cones; you have %(owned)d cones: use lines at station %(at)d.") % said
    return _("%(need)d %(name)s; you have %(owned)d: use fewer at station %(at)d.") % said


def outcome_words(found: Outcome[engine.Answer], problem: engine.Problem) -> str:
    """What placing came to, for the coach."""
    if found.answer is None:
        return " ".join(trouble_words(reason, problem) for reason in found.reasons)
    metres = {"n": round(engine.walk(problem, found.answer))}
    if found.status is Status.BEST:
        return _("Placed: %(n)d m round all stations, and no better places exist.") % metres
    return _("Placed: %(n)d m round all stations, across and along; it was not proven that none are better.") % metres
