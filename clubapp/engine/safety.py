"""Published guidance in numbers: adults per children, lightning, dates after a suspected head injury.

Never a judgement that a session is safe or a child fit: local rules and qualified people decide.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import IntEnum, StrEnum

SOURCE = "NSPCC / CPSU"
LEAST_ADULTS = 2


@dataclass(frozen=True)
class Band:
    """Children from `youngest` up to `oldest` completed years: one adult for so many."""

    youngest: int
    oldest: int
    children_per_adult: int


# Recommended adult to child ratios, NSPCC Learning (September 2023) and the CPSU's guidelines on staffing and
# supervision ratios; helpers under 18 do not count as adults.
BANDS = (Band(0, 1, 3), Band(2, 3, 4), Band(4, 8, 6), Band(9, 12, 8), Band(13, 18, 10))
# A junior squad is not a nursery: a child whose age nobody wrote down is taken for a young one of primary school.
AGE_UNKNOWN = 4


def band_of(age: int) -> Band:
    """The band of an age in completed years; above 18 the last one.

    Raises:
        ValueError: a negative age.
    """
    if age < 0:
        raise ValueError(f"an age cannot be negative: {age}")
    return next((band for band in BANDS if age <= band.oldest), BANDS[-1])


@dataclass(frozen=True)
class Ratio:
    """What the guidance asks for these children. unknown: children without an age, taken for AGE_UNKNOWN."""

    children: int
    band: Band
    adults: int
    unknown: int


def adults_needed(ages: Sequence[int | None]) -> Ratio:
    """The youngest child's band for all of them, and always at least two adults.

    ages: completed years of each child here, None where nobody wrote it down. There is no published formula for mixed
    ages; the youngest child's ratio for everybody is the most careful reading.
    Source: NSPCC Learning, recommended adult to child ratios; thecpsu.org.uk, staffing and supervision ratios.
    Raises ValueError for a negative age.
    """
    years = [AGE_UNKNOWN if age is None else age for age in ages]
    band = band_of(min(years, default=AGE_UNKNOWN))
    adults = max(LEAST_ADULTS, math.ceil(len(years) / band.children_per_adult))
    return Ratio(len(years), band, adults, sum(age is None for age in ages))


# --- lightning --------------------------------------------------------------------------------------------------------

# Resume no sooner than 30 minutes after the last thunder (or flash); each new one begins the 30 minutes again. NCAA
# Sports Medicine Handbook, as quoted by the AOSSM (sportsmed.org, p. 52) and gdysc.org.
THUNDER_WAIT_S = 30 * 60
# Seek shelter at once when 30 seconds or fewer lie between flash and bang. Same sources.
FLASH_TO_BANG_S = 30


# --- after a suspected head injury: dates to keep, never a diagnosis --------------------------------------------------


class Guide(StrEnum):
    """Whose published date it is."""

    UK_REST = "uk rest"
    UK_COMPETITION = "uk competition"
    AU_SIGNS = "au signs"


# UK concussion guidelines for grassroots sport (2023): rest of at least 24 hours, no competition before day 21, the day
# of the injury being day 0. Australian concussion guidelines, 18 years and younger: no contact before the 14th day
# after the last signs have gone, and then only with medical clearance. Anywhere: no return on the day itself.
DAYS_AFTER = {Guide.UK_REST: 1, Guide.UK_COMPETITION: 21, Guide.AU_SIGNS: 14}


@dataclass(frozen=True)
class Return:
    """The earliest day one guide names. on: None while it hangs on a day that nobody has recorded."""

    guide: Guide
    on: date | None


def earliest_returns(injured_on: date, signs_gone_on: date | None = None) -> tuple[Return, ...]:
    """What each guide says, the day of the injury being day 0.

    signs_gone_on: since when an adult recorded no more signs, None while they last or nobody said.
    Raises ValueError if the signs went before the injury. Sources: see DAYS_AFTER.
    """
    if signs_gone_on is not None and signs_gone_on < injured_on:
        raise ValueError(f"signs gone on {signs_gone_on}, before the injury on {injured_on}")
    since = {Guide.AU_SIGNS: signs_gone_on}
    return tuple(_return(guide, since.get(guide, injured_on)) for guide in Guide)


def _return(guide: Guide, day: date | None) -> Return:
    return Return(guide, None if day is None else day + timedelta(days=DAYS_AFTER[guide]))


def not_before(injured_on: date, signs_gone_on: date | None = None) -> date:
    """The latest of the days that are known. It clears nobody: somebody qualified does, and an adult records it."""
    return max(row.on for row in earliest_returns(injured_on, signs_gone_on) if row.on is not None)


# --- heat -------------------------------------------------------------------------------------------------------------


class Level(IntEnum):
    """What a reading asks for, mildest first."""

    NONE = 0  # below the first step of its table; nothing is said to be safe by it
    SOFTER = 1  # longer rests in the shade, drinking more often
    LIMIT = 2  # only who is used to heat, little of it, rest as long as work
    STOP = 3


class HeatBand(StrEnum):
    """The heat index's own bands (US National Weather Service)."""

    BELOW = "below"
    CAUTION = "caution"
    EXTREME_CAUTION = "extreme caution"
    DANGER = "danger"
    EXTREME_DANGER = "extreme danger"


class Table(StrEnum):
    """Whose limits on the wet-bulb globe temperature."""

    AAP = "aap"
    ACSM = "acsm"
    GEORGIA = "georgia"


# Where each band begins, in °F. The chart of the US National Weather Service, from memory. It assumes shade and a light
# wind; what each band asks of a session is our own reading, common practice, no published source.
HEAT_BANDS = (
    (125.0, HeatBand.EXTREME_DANGER, Level.STOP),
    (103.0, HeatBand.DANGER, Level.STOP),
    (90.0, HeatBand.EXTREME_CAUTION, Level.LIMIT),
    (80.0, HeatBand.CAUTION, Level.SOFTER),
)

# The last value, in °F, that still is below each step; a value between two printed ones belongs to the stricter. AAP:
# American Academy of Pediatrics 2000, printed in °C (24.0, 26, over 29), superseded by its text of 2011. ACSM: American
# College of Sports Medicine 2007, as in the NATA statement of 2015, table 3. Georgia: its high schools' association, as
# in the regions of Grundstein and others 2015. At 82.0 the two last ones' milder step ends.
_C = 9 / 5
WBGT_LIMITS: dict[Table, tuple[tuple[Level, float, bool], ...]] = {
    Table.AAP: (
        (Level.STOP, 29 * _C + 32, False),
        (Level.LIMIT, 25.9 * _C + 32, False),
        (Level.SOFTER, 24 * _C + 32, True),
    ),
    Table.ACSM: ((Level.STOP, 90.0, False), (Level.LIMIT, 86.0, False), (Level.SOFTER, 82.0, True)),
    Table.GEORGIA: ((Level.STOP, 92.0, False), (Level.LIMIT, 86.9, False), (Level.SOFTER, 82.0, True)),
}
# Minutes from one drink to the next: 15 in heat (AAP 2000), 20 otherwise (derived from it).
WATER_EVERY = {Level.NONE: 20, Level.SOFTER: 15, Level.LIMIT: 15, Level.STOP: 15}
ALMOST = 1e-9  # of a degree, for what is converted


def fahrenheit(celsius: float) -> float:
    return celsius * _C + 32


def heat_index(temperature_f: float, humidity: float) -> float:
    """Heat index in °F from air temperature in °F and relative humidity in percent.

    Rothfusz 1990 (NWS SR 90-23) with the adjustments of the Weather Prediction Center: the simple form, averaged with
    the temperature, and only from 80 on the whole one. wpc.ncep.noaa.gov/html/heatindex_equation.shtml
    Raises ValueError for a humidity outside 0 to 100.
    """
    if not 0 <= humidity <= 100:
        raise ValueError(f"relative humidity lies between 0 and 100 percent: {humidity}")
    t, r = temperature_f, humidity
    simple = (0.5 * (t + 61 + 1.2 * (t - 68) + 0.094 * r) + t) / 2
    if simple < 80:
        return simple
    whole = -42.379 + 2.04901523 * t + 10.14333127 * r - 0.22475541 * t * r - 0.00683783 * t * t - 0.05481717 * r * r
    whole += 0.00122874 * t * t * r + 0.00085282 * t * r * r - 0.00000199 * t * t * r * r
    if r < 13 and t <= 112:
        whole -= (13 - r) / 4 * math.sqrt((17 - abs(t - 95)) / 17)
    elif r > 85 and t <= 87:
        whole += (r - 85) / 10 * (87 - t) / 5
    return whole


def heat_band(index_f: float) -> tuple[HeatBand, Level]:
    """The band of a heat index in °F, and what it asks for."""
    found = ((band, level) for start, band, level in HEAT_BANDS if index_f >= start)
    return next(found, (HeatBand.BELOW, Level.NONE))


def wbgt_level(wbgt_c: float, table: Table | None = None) -> Level:
    """What a reading of the wet-bulb globe temperature in °C asks for; without a table the strictest of all."""
    if table is None:
        return max(wbgt_level(wbgt_c, one) for one in Table)
    degrees = fahrenheit(wbgt_c)
    found = (
        level
        for level, limit, itself in WBGT_LIMITS[table]
        if degrees > limit + ALMOST or (itself and degrees >= limit - ALMOST)
    )
    return next(found, Level.NONE)
