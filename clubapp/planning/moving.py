"""A session in another venue: which stations can stay, what could stand in for the others, and where all of it stands.

Nothing is written here: what is proposed holds only once the coach has said so.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass, replace

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from clubapp.engine import layout, menu
from clubapp.engine.limits import Limit
from clubapp.planning import bridge, catalogue, field_drawing, queries
from clubapp.planning.actions import Chosen, Stand
from clubapp.planning.actions.stations import made_from
from clubapp.planning.catalogue import Listed
from clubapp.planning.expected import expected_at
from clubapp.planning.field_bridge import Field, field_of, stands
from clubapp.planning.menu_form import as_usual
from clubapp.planning.models import Session, Station, Venue

KEEP, OFFERED = "keep", 3
FITS, THINK = Limit(deterministic=0.1), Limit(deterministic=0.1)
ANY_AIM, STEADY_MIN = "any", (1, 1, 1)


@dataclass(frozen=True)
class Row:
    """why: what stands against it here, empty where nothing does. chosen: the code of what stands in, or KEEP."""

    station: Station
    why: str = ""
    cautions: tuple[str, ...] = ()
    offers: tuple[Listed, ...] = ()
    chosen: str = KEEP
    unknown: bool = False


@dataclass(frozen=True)
class Move:
    """left_out: numbers of the stations for which there is no ground beside the others."""

    session: Session
    venue: Venue
    rows: tuple[Row, ...]
    field: Field
    left_out: tuple[int, ...]
    instead: Mapping[str, Chosen]

    @property
    def stands(self) -> dict[str, Stand]:
        return stands(self.field.problem, layout.Answer(self.field.placed))

    @property
    def picture(self) -> SafeString:
        return field_drawing.svg(self.field, frozenset(), "")

    @property
    def metres(self) -> int:
        return round(layout.walk(self.field.problem, layout.Answer(self.field.placed)))

    @property
    def changes(self) -> int:
        return sum(bool(row.why) for row in self.rows)


def proposal(session: Session, venue: Venue, wanted: Mapping[str, str]) -> Move:
    """The next best for whatever cannot stay; wanted: by station id, what the coach chose instead of that."""
    hall = _Hall(session, venue)
    rows = hall.rows()
    chosen = tuple(_as_wanted(row, wanted.get(str(row.station.pk), "")) for row in rows)
    return hall.move(chosen)


def _as_wanted(row: Row, code: str) -> Row:
    known = {KEEP, *(one.code for one in row.offers)} if row.why else set()
    return replace(row, chosen=code) if code in known else row


class _Hall:
    """One session's stations in one venue."""

    def __init__(self, session: Session, venue: Venue) -> None:
        self.session, self.venue = session, venue
        self.stations = tuple(queries.stations(session))
        self.cards = {one.code: one for one in catalogue.of_club(session.club)}
        self.problem = self._problem() if self.stations else None

    def _problem(self) -> menu.Problem:
        """What may stand at a station here."""
        usual = as_usual(self.session, expected_at(self.session))
        extent = field_of(self.venue, ()).problem.ground.extent.grown(-layout.AISLE)
        asked = bridge.Ask(
            aims=(),
            children=max(usual["children"], len(self.stations)),
            youngest=usual["youngest"],
            oldest=usual["oldest"],
            adults=usual["adults"],
            stations=len(self.stations),
            ground=((extent.right - extent.left) / 10, (extent.top - extent.bottom) / 10),
            indoors=self.venue.indoors,
        )
        return bridge.problem_of(self.session, asked)

    # --- what can stay ------------------------------------------------------------------------------------------------

    def rows(self) -> list[Row]:
        """As they would be if nobody chose: those that fit stay, as long as there is ground for all of them."""
        rows = [self._judged(one) for one in self.stations]
        for at, row in enumerate(rows):
            if row.why:
                rows[at] = self._offered(rows, row)
        while (
            layout.fits(self._field(rows).problem, limit=FITS) is None and (index := self._too_large(rows)) is not None
        ):
            why = rows[index].why or _("Beside the others there is not ground enough for it.")
            rows[index] = self._offered(rows, replace(rows[index], why=why), self._area(rows[index]))
        return rows

    def _judged(self, station: Station) -> Row:
        one = self.cards.get(station.activity)
        cautions = one.card.cautions if one else ()
        if one and one.card.soft and self.venue.indoors:
            return Row(station, _("It needs soft ground: grass, mats or a sprung floor."), cautions)
        if layout.plain(field_of(self.venue, [station]).problem) is None:
            return Row(station, _("Its ground with the run-outs is larger than this venue."))
        return Row(station, unknown=one is None)

    def _offered(self, rows: Sequence[Row], row: Row, below_m2: float = 0.0) -> Row:
        """The nearest to it that stands nowhere else; below_m2: smaller than what is too large."""
        assert self.problem
        others = [one for one in rows if one.station.pk != row.station.pk]
        taken = frozenset(one.station.activity if one.chosen == KEEP else one.chosen for one in others)
        left = replace(self.problem, kit=self._left(others))
        near = menu.instead(left, self._as_card(row.station), taken | {row.station.activity})
        fits = [card for card in near if not below_m2 or card.wide_m * card.long_m < below_m2]
        offers = tuple(self.cards[card.id] for card in fits[:OFFERED])
        return replace(row, offers=offers, chosen=offers[0].code if offers else KEEP)

    def _as_card(self, station: Station) -> menu.Card:
        if station.activity in self.cards:
            return bridge.card_of(self.cards[station.activity], recent=False)
        heat = menu.HARD if station.intensity == Station.Intensity.HARD else menu.EASY
        return menu.Card("", "", frozenset(), (ANY_AIM,), heat, minutes=STEADY_MIN)

    def _left(self, others: Sequence[Row]) -> dict[str, int] | None:
        """Of the club's kit, beside what the other stations need."""
        if self.problem is None or self.problem.kit is None:
            return None
        used: Counter[str] = Counter()
        for row in others:
            used.update(self._as_chosen(row).kit)
        return {name: max(0, number - used[name]) for name, number in self.problem.kit.items()}

    def _too_large(self, rows: Sequence[Row]) -> int | None:
        """The largest for which something smaller could stand in."""
        order = sorted(range(len(rows)), key=lambda index: (-self._area(rows[index]), index))
        return next((at for at in order if self._offered(rows, rows[at], self._area(rows[at])).offers), None)

    def _area(self, row: Row) -> float:
        wide, long = field_of(self.venue, [self._as_chosen(row)]).problem.stations[0].shape(0).room
        return wide * long / 100

    # --- what it comes to ---------------------------------------------------------------------------------------------

    def _as_chosen(self, row: Row) -> Station:
        """The station as it would be, not saved."""
        station = copy(row.station)
        if chosen := self._chosen(row):
            for name, value in (made_from(chosen.code, chosen.card) | {"kit": dict(chosen.kit)}).items():
                setattr(station, name, value)
        return station

    def _chosen(self, row: Row) -> Chosen | None:
        if row.chosen == KEEP or self.problem is None:
            return None
        card = self.problem.by_id[row.chosen]
        return Chosen(card.id, self.cards[card.id].card, self.problem.set_up(card, menu.Role.STATION).kit)

    def _field(self, rows: Sequence[Row]) -> Field:
        return field_of(self.venue, [self._as_chosen(row) for row in rows])

    def move(self, rows: tuple[Row, ...]) -> Move:
        field = self._field(rows)
        placed = _placed(field.problem)
        there = {place.station for place in placed.places}
        problem = replace(field.problem, stations=tuple(one for one in field.problem.stations if one.id in there))
        field = replace(field, problem=problem, placed=placed.places)
        left_out = tuple(row.station.number for row in rows if str(row.station.pk) not in there)
        instead = {str(row.station.pk): chosen for row in rows if (chosen := self._chosen(row))}
        return Move(self.session, self.venue, rows, field, left_out, instead)


def _placed(problem: layout.Problem) -> layout.Answer:
    """All of them; where there is not ground enough, without the largest."""
    if not problem.stations:
        return layout.Answer(())
    found = _found(problem)
    while found is None:
        largest = max(problem.stations, key=lambda one: (one.shape(0).room[0] * one.shape(0).room[1], one.id))
        problem = replace(problem, stations=tuple(one for one in problem.stations if one is not largest))
        found = _found(problem)
    return found


def _found(problem: layout.Problem) -> layout.Answer | None:
    """Which of them clash is not asked here: the largest goes."""
    return layout.improve(problem, THINK, 0, layout.fits(problem, limit=FITS))[0]
