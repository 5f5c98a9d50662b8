"""What the page on safety shows: heat as far as it was read, thunder, adults, who has a note, where help comes from.

It clears nothing: local rules and qualified people decide.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _

from clubapp.engine.safety import (
    WATER_EVERY,
    HeatBand,
    Level,
    Table,
    fahrenheit,
    heat_band,
    heat_index,
    wbgt_level,
)
from clubapp.people.access import Person
from clubapp.people.models import Athlete, Health
from clubapp.people.queries import flagged
from clubapp.planning import catalogue
from clubapp.planning import queries as planning
from clubapp.planning.library.card import Aim
from clubapp.planning.models import Session, Station
from clubapp.register.staffing import Staffing, staffing_of


@dataclass(frozen=True)
class Heat:
    """One assessment. what: the reading in words; level: what it asks for."""

    what: str
    level: Level

    @property
    def asks(self) -> str:
        return level_words(self.level)

    @property
    def water(self) -> str:
        if self.level is Level.STOP:
            return ""
        return _("Water at least every %(n)d minutes.") % {"n": WATER_EVERY[self.level]}


@dataclass(frozen=True)
class Page:
    session: Session
    staff: Staffing
    heat: tuple[Heat, ...]
    turning: tuple[Station, ...]
    noted: tuple[Athlete, ...]
    not_asked: int


def page_of(user: Person, session: Session, heat: tuple[Heat, ...]) -> Page:
    staff = staffing_of(user, session)
    flags = flagged([child.pk for child in staff.listed])
    return Page(
        session=session,
        staff=staff,
        heat=heat,
        turning=tuple(_turning(session)),
        noted=tuple(child for child in staff.listed if child.pk in flags),
        not_asked=sum(child.health == Health.NOT_ASKED and child.pk not in flags for child in staff.listed),
    )


def _turning(session: Session) -> Iterator[Station]:
    """Stations with changes of direction, by the cards they were made from."""
    codes = {one.code for one in catalogue.of_club(session.club) if Aim.TURNING in one.card.aims}
    return (station for station in planning.stations(session) if station.activity in codes)


def heat_of(
    temperature: float | None, humidity: float | None, wbgt: float | None, table: Table | None
) -> Iterator[Heat]:
    """What was typed, in °C and percent; nothing for what was not."""
    if temperature is not None and humidity is not None:
        index = heat_index(fahrenheit(temperature), humidity)
        band, level = heat_band(index)
        said = {"n": f"{(index - 32) / 1.8:.0f}", "band": band_words(band)}
        yield Heat(_("Heat index %(n)s °C: %(band)s.") % said, level)
    if wbgt is not None:
        said = {"n": f"{wbgt:g}", "table": table_words(table)}
        yield Heat(_("WBGT %(n)s °C by %(table)s.") % said, wbgt_level(wbgt, table))


def level_words(level: Level) -> str:
    words = {
        Level.NONE: _(
            "Below the first step of this table. That clears nobody: look at the children, and let them drink."
        ),
        Level.SOFTER: _("Make the work softer: longer rests in the shade, watch who is not used to heat."),
        Level.LIMIT: _(
            "Rest as long as you work, in the shade; hard stations become easy ones; who is not used to heat, was ill "
            "or is at risk stays out."
        ),
        Level.STOP: _("Do not run this session in this heat: call it off or move it to a cool place."),
    }
    return words[level]


def band_words(band: HeatBand) -> str:
    words = {
        HeatBand.BELOW: _("below the first band"), HeatBand.CAUTION: _("caution"),
        HeatBand.EXTREME_CAUTION: _("extreme caution"), HeatBand.DANGER: _("danger"),
        HeatBand.EXTREME_DANGER: _("extreme danger"),
    }  # fmt: skip
    return words[band]


def table_words(table: Table | None) -> str:
    words = {
        Table.AAP: _("the AAP's table of 2000 for children"),
        Table.ACSM: _("the ACSM's table of 2007"),
        Table.GEORGIA: _("the table of Georgia's high schools"),
    }
    return words[table] if table else _("the strictest of the tables")
