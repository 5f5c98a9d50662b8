"""Published guidance in numbers: adults per children, lightning, dates after a suspected head injury.

Never a judgement that a session is safe or a child fit: local rules and qualified people decide.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

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
