"""The one fairness score: how evenly the measured attributes are spread over the groups.

For each balanced attribute (largest group mean − smallest group mean) / population standard deviation over the
children present, after gaps are filled; the score is the weighted sum. 0 is perfect.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from clubapp.engine.words import Athlete, age_days, completed_years

AGE = "age"
UNITS: Mapping[str, str] = {AGE: "days", "skill": "points"}
_SUFFIX_UNITS: Mapping[str, str] = {"_s": "s", "_m": "m", "_cm": "cm", "_mm": "mm", "_kg": "kg"}
# A deviation below this share of the values' own size is rounding, not a difference between children.
_ROUNDING = 1e-12


@dataclass(frozen=True)
class Attribute:
    """Something to balance. name: "age" (days from birth) or a key of Athlete.values. weight ≥ 0."""

    name: str
    weight: float = 1.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.weight) and self.weight >= 0):
            raise ValueError(f"the weight of {self.name} must be a number from 0 up, not {self.weight}")


@dataclass(frozen=True)
class Filled:
    """values: one a child, in the order of the children. gaps: ids of the children whose value was filled in."""

    values: tuple[float, ...]
    gaps: tuple[str, ...]


@dataclass(frozen=True)
class AttributeFairness:
    """spread: largest minus smallest group mean, in `unit`. sd: population standard deviation, in `unit`."""

    name: str
    spread: float
    sd: float
    unit: str
    weight: float = 1.0

    @property
    def part(self) -> float:
        """What this attribute adds to the score; an attribute with no deviation adds nothing."""
        return self.weight * self.spread / self.sd if self.sd else 0.0


@dataclass(frozen=True)
class Fairness:
    """gaps: for each attribute with gaps, its name and the ids of the children whose value was filled in."""

    score: float
    attributes: tuple[AttributeFairness, ...]
    gaps: tuple[tuple[str, tuple[str, ...]], ...]


def unit_of(name: str) -> str:
    """The unit an attribute is measured in; "" where the name does not tell."""
    if name in UNITS:
        return UNITS[name]
    return next((unit for suffix, unit in _SUFFIX_UNITS.items() if name.endswith(suffix)), "")


def measured(athlete: Athlete, on: date, name: str) -> float | None:
    """The child's own value of an attribute, or None where nobody wrote it down."""
    if name == AGE:
        return None if athlete.born is None else float(age_days(athlete.born, on))
    return athlete.values.get(name)


def mean(values: Sequence[float]) -> float:
    """Arithmetic mean, the same whatever the order of the values; 0 of none."""
    return math.fsum(values) / len(values) if values else 0.0


def deviation(values: Sequence[float]) -> float:
    """Population standard deviation; exactly 0 where all differences are rounding."""
    middle = mean(values)
    found = math.sqrt(mean([(value - middle) ** 2 for value in values]))
    return found if found > _ROUNDING * max(1.0, abs(middle)) else 0.0


def filled(athletes: Sequence[Athlete], on: date, name: str) -> Filled:
    """Every child's value; a child without one takes the mean of the same completed year of age, else of all."""
    own = [measured(athlete, on, name) for athlete in athletes]
    known = [value for value in own if value is not None]
    by_year: dict[int, list[float]] = {}
    for athlete, value in zip(athletes, own, strict=True):
        if value is not None and athlete.born is not None:
            by_year.setdefault(completed_years(athlete.born, on), []).append(value)

    def stand_in(athlete: Athlete) -> float:
        year = None if athlete.born is None else completed_years(athlete.born, on)
        return mean(by_year[year]) if year in by_year else mean(known)

    values = [stand_in(a) if value is None else value for a, value in zip(athletes, own, strict=True)]
    gaps = [a.id for a, value in zip(athletes, own, strict=True) if value is None]
    return Filled(tuple(values), tuple(gaps))


def spread(values: Mapping[str, float], groups: Iterable[Sequence[str]]) -> float:
    """Largest minus smallest group mean; groups nobody stands in have no mean."""
    means = [mean([values[child] for child in group]) for group in groups if group]
    return max(means) - min(means) if means else 0.0


def report(
    athletes: Sequence[Athlete], on: date, balance: Sequence[Attribute], groups: Sequence[Sequence[str]]
) -> Fairness:
    """The fairness of groups of ids, attribute by attribute. athletes: the children present; on: the session's date."""
    rows: list[AttributeFairness] = []
    gaps: list[tuple[str, tuple[str, ...]]] = []
    for attribute in balance:
        fill = filled(athletes, on, attribute.name)
        values = {athlete.id: value for athlete, value in zip(athletes, fill.values, strict=True)}
        apart = spread(values, groups)
        rows.append(
            AttributeFairness(attribute.name, apart, deviation(fill.values), unit_of(attribute.name), attribute.weight)
        )
        if fill.gaps:
            gaps.append((attribute.name, fill.gaps))
    return Fairness(math.fsum(row.part for row in rows), tuple(rows), tuple(gaps))


def ability(athletes: Sequence[Athlete], on: date, balance: Sequence[Attribute]) -> tuple[float, ...]:
    """One figure a child: the weighted mean of the attributes in standard deviations, larger is more able.

    Of a time (a name that ends in _s) less is more able; of everything else more is.
    """
    totals = [0.0] * len(athletes)
    for attribute in balance:
        values = filled(athletes, on, attribute.name).values
        middle, sd = mean(values), deviation(values)
        sign = -attribute.weight if unit_of(attribute.name) == "s" else attribute.weight
        if sd:
            totals = [total + sign * (v - middle) / sd for total, v in zip(totals, values, strict=True)]
    weights = math.fsum(attribute.weight for attribute in balance)
    return tuple(total / weights if weights else 0.0 for total in totals)
