"""How many adults there must be. Guidance in numbers, never a judgement that a session is safe."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

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
