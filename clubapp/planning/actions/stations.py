"""Stations: added, changed, moved, removed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from clubapp.core.tell import tell
from clubapp.planning import queries
from clubapp.planning.actions.order import moved, next_number, number_anew
from clubapp.planning.library.card import Card, Level
from clubapp.planning.library.shelf import standard
from clubapp.planning.models import Session, Station
from clubapp.planning.starters import BY_KEY, Starter


@dataclass(frozen=True)
class StationDetails:
    """Fields are those of the model; places in metres, kit by name and number."""

    name: str
    set_up: str = ""
    x_m: float | None = None
    y_m: float | None = None
    intensity: str = Station.Intensity.EASY
    groups_min: int = 0
    groups_max: int = 1
    kit: Mapping[str, int] = field(default_factory=dict)
    tools: str = Station.Tools.NONE


@transaction.atomic
def add_station(*, session: Session, details: StationDetails) -> Station:
    """Behind the others."""
    number = next_number(Station, session, "number")
    station = Station.objects.create(session=session, number=number, **_values(details))
    tell(session.pk, "planning")
    return station


@transaction.atomic
def add_starter(*, session: Session, key: str) -> Station:
    """One of the starter stations, behind the others."""
    station = place_starter(session, BY_KEY[key], next_number(Station, session, "number"))
    tell(session.pk, "planning")
    return station


@transaction.atomic
def add_activity(*, session: Session, code: str, card: Card) -> Station:
    """A card of the library set up behind the others; it has no place on the field yet."""
    number = next_number(Station, session, "number")
    station = Station.objects.create(session=session, number=number, **made_from(code, card))
    tell(session.pk, "planning")
    return station


def made_from(code: str, card: Card) -> dict[str, Any]:
    """What a station takes from a card."""
    return {
        "name": card.name,
        "set_up": set_up_of(card),
        "intensity": Station.Intensity.HARD if card.level is Level.HARD else Station.Intensity.EASY,
        "kit": card.kit_all,
        "tools": card.tool,
        "activity": code,
        "diagram": card.diagram,
    }


def set_up_of(card: Card) -> str:
    """What the adult at the station reads: no more than fits beside the drawing."""
    look = _("Look for: %(all)s") % {"all": " ".join(card.look_for)}
    levels = [_("Easier: %(words)s") % {"words": card.easier}, _("Harder: %(words)s") % {"words": card.harder}]
    return "\n".join([*card.how, look, *levels, *card.cautions])


@transaction.atomic
def change_station(*, station: Station, details: StationDetails) -> None:
    for name, value in _values(details).items():
        setattr(station, name, value)
    station.save()
    tell(station.session_id, "planning")


@transaction.atomic
def move_station(*, station: Station, step: int) -> None:
    """Up (-1) or down (+1) in the list."""
    number_anew(moved(list(queries.stations(station.session)), station, step), "number")
    tell(station.session_id, "planning")


@transaction.atomic
def remove_station(*, station: Station) -> None:
    """The others close up."""
    session = station.session
    station.delete()
    number_anew(list(queries.stations(session)), "number")
    tell(session.pk, "planning")


def place_starter(session: Session, starter: Starter, number: int) -> Station:
    """Write a starter station; the caller tells."""
    return Station.objects.create(
        session=session,
        number=number,
        name=str(starter.name),
        set_up=str(starter.set_up),
        x_m=starter.x_m,
        y_m=starter.y_m,
        intensity=starter.intensity,
        kit=dict(starter.kit),
        tools=starter.tools,
        activity=starter.activity,
        diagram=standard()[starter.activity].diagram,
    )


def _values(details: StationDetails) -> dict[str, object]:
    values = {field.name: getattr(details, field.name) for field in fields(details)}
    return values | {"kit": dict(details.kit)}
