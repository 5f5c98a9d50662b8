"""Invented squads whose true times are known, to hold predictions against."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from clubapp.engine import ability

TRIALS = {"40 m": (7.2, 0.02), "5-10-5": (6.3, 0.03), "box": (11.0, 0.05)}  # middle seconds, noise in log


@dataclass(frozen=True)
class Squad:
    """Results to learn from and results held back."""

    children: tuple[ability.Child, ...]
    seen: tuple[ability.Result, ...]
    held: tuple[ability.Result, ...]


def squad(seed: int, *, crooked: bool = False) -> Squad:
    """Eight to thirty children over thirty weeks; `crooked`: heavy tails and another age curve than the model's."""
    lot = np.random.default_rng(seed)
    slope = float(lot.normal(-0.045, 0.01))
    children: list[ability.Child] = []
    rows: list[ability.Result] = []
    for number in range(int(lot.integers(8, 31))):
        child, drawn = _child(lot, number, slope, crooked)
        children.append(child)
        rows += drawn
    held = lot.random(len(rows)) < 0.25
    seen = tuple(row for row, out in zip(rows, held, strict=True) if not out)
    return Squad(tuple(children), seen, tuple(row for row, out in zip(rows, held, strict=True) if out))


def _child(
    lot: np.random.Generator, number: int, slope: float, crooked: bool
) -> tuple[ability.Child, list[ability.Result]]:
    def draw(sd: float) -> float:
        return float(lot.standard_t(4) * sd / math.sqrt(2) if crooked else lot.normal(0, sd))

    born = -int(lot.uniform(7, 15) * 365.25)
    level, form, before = draw(0.09), 0.0, None
    own = [draw(0.03) for _ in TRIALS]
    estimate = float(-0.7 * level / 0.09 + lot.normal(0, 0.7)) if lot.random() < 0.5 else None
    rows = []
    for day in sorted(int(day) for day in lot.integers(0, 210, size=lot.integers(2, 12))):
        kept = 0.0 if before is None else math.exp(-(day - before) / 300)
        form = form * kept + draw(0.03) * math.sqrt(1 - kept**2)
        before, years = day, (day - born) / 365.25 - 11
        curve = 0.012 * max(0.0, years - 2) if crooked else 0.002 * years**2
        for at, (trial, (middle, noise)) in enumerate(TRIALS.items()):
            if lot.random() < 0.75:
                log = math.log(middle) + slope * years + curve + level + own[at] + form + draw(noise)
                rows.append(ability.Result(f"c{number:02}", trial, day, math.exp(log)))
    return ability.Child(f"c{number:02}", born if lot.random() < 0.9 else None, estimate), rows
