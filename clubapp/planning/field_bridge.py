"""A session's stations and its venue as the engine places them, and back. Metres here, decimetres there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil

from clubapp.core.diagram.reading import layout_of
from clubapp.core.diagram.shapes import Layout, Side
from clubapp.engine import layout as engine
from clubapp.planning.actions import Stand
from clubapp.planning.library.card import Aim
from clubapp.planning.library.reading import read
from clubapp.planning.library.shelf import standard
from clubapp.planning.models import Activity, Station, Venue

WITHOUT_DRAWING_DM = 80  # what a station takes whose set-up nobody has drawn: common practice, no published source
SIDES = (Side.TOP, Side.RIGHT, Side.BOTTOM, Side.LEFT)


@dataclass(frozen=True)
class Field:
    """stations: in their order, with their drawings; placed: those that have a place."""

    venue: Venue
    stations: tuple[Station, ...]
    problem: engine.Problem
    drawings: dict[str, Layout]
    placed: tuple[engine.Place, ...]


def field_of(venue: Venue, stations: Iterable[Station]) -> Field:
    rows = tuple(stations)
    drawings = {str(row.pk): layout_of(row.diagram) for row in rows if row.diagram}
    cards = _cards(venue, rows)
    made = tuple(_station(row, drawings.get(str(row.pk)), cards.get(row.activity)) for row in rows)
    problem = engine.Problem(_ground(venue), made, names={str(row.pk): f"{row.number}" for row in rows})
    placed = tuple(_place(problem, row) for row in rows if row.x_m is not None and row.y_m is not None)
    return Field(venue, rows, problem, drawings, placed)


def _ground(venue: Venue) -> engine.Ground:
    water, first_aid = (_spot(at) if at else None for at in (venue.water, venue.first_aid))
    closed = tuple(_box(row["at"], row["size"]) for row in venue.closed)
    return engine.Ground(tuple(_spot(at) for at in venue.outline), closed, water, first_aid)


def _spot(at: list[float]) -> engine.Point:
    return round(10 * at[0]), round(10 * at[1])


def _box(at: list[float], size: list[float]) -> engine.Box:
    left, bottom = _spot(at)
    wide, long = _spot(size)
    return engine.Box(left, bottom, left + max(1, wide), bottom + max(1, long))


def _cards(venue: Venue, rows: Iterable[Station]) -> dict[str, tuple[bool, bool]]:
    """By a card's code: whether it drowns a call, and whether children listen for one."""
    codes = {row.activity for row in rows}
    known = {code: card for code, card in standard().items() if code in codes}
    own = Activity.objects.filter(club=venue.club_id, code__in=codes)
    known |= {row.code: read(row.card) for row in own if row.card}
    return {code: (card.loud, Aim.REACTION in card.aims) for code, card in known.items()}


def _station(row: Station, drawn: Layout | None, card: tuple[bool, bool] | None) -> engine.Station:
    loud, hears = card or (False, False)
    hears = (hears or row.tools == Station.Tools.CALLER) and not loud
    if drawn is None or drawn.room is None:
        return engine.Station(str(row.pk), WITHOUT_DRAWING_DM, WITHOUT_DRAWING_DM, loud=loud, hears=hears)
    room = drawn.room
    top, right, bottom, left = (ceil(10 * room.beyond.get(side, 0)) for side in SIDES)
    size = ceil(10 * room.wide), ceil(10 * room.long)
    return engine.Station(str(row.pk), *size, (top, right, bottom, left), loud, hears)


def _place(problem: engine.Problem, row: Station) -> engine.Place:
    assert row.x_m is not None
    assert row.y_m is not None
    shape = problem.of[str(row.pk)].shape(row.turned)
    corner = round(10 * row.x_m - shape.wide / 2), round(10 * row.y_m - shape.long / 2)
    return engine.Place(str(row.pk), *corner, row.turned)


def stands(problem: engine.Problem, answer: engine.Answer) -> dict[str, Stand]:
    """Every place as a station keeps it."""
    middles = {place.station: (problem.middle(place), place.turn) for place in answer.places}
    return {one: Stand(x / 20, y / 20, turn) for one, ((x, y), turn) in middles.items()}


def on_ground(problem: engine.Problem, place: engine.Place, at: tuple[float, float]) -> tuple[float, float]:
    """A point of a station's drawing, in metres, where it lies on the field."""
    station = problem.of[place.station]
    wide, long = station.wide / 10, station.long / 10
    x, y = at
    turned = ((x, y), (y, wide - x), (wide - x, long - y), (long - y, x))[place.turn]
    return place.x / 10 + turned[0], place.y / 10 + turned[1]
