"""Prices for LIKE: what each child must cost at least, so that a group is judged by what it costs over its children's.

Lagrangian relaxation of the set partitioning problem by subgradient steps (Fisher, 1981), then lowered until no group
costs less than its children's prices: then the prices of children without a group are a bound on what is to come.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from clubapp.engine.groups_columns import Columns, Part
from clubapp.engine.groups_table import Floats

STEPS = 200
WORK = 3_000_000  # groups priced in all steps together


def priced(part: Part, columns: Columns, ceiling: float) -> tuple[Part, Columns]:
    """The same search with every group's cost lowered by its children's prices, and those added to what stands."""
    if not len(columns.masks) or len(part.sizes) < 3:
        return part, columns  # with two groups the second follows from the first
    inside = ((columns.masks[:, None] >> np.arange(len(part.children))) & 1).astype(float)
    cost = columns.marks[:, 0]
    prices = _prices(inside, cost, columns, part, ceiling - float(part.standing[0]))
    over = np.maximum(cost - inside @ prices, 0.0)
    return replace(part, standing=part.standing + prices.sum()), replace(columns, marks=over[:, None])


def _prices(inside: Floats, cost: Floats, columns: Columns, part: Part, target: float) -> Floats:
    prices: Floats = np.full(len(part.children), target / len(part.children))
    best, best_total = _lowered(prices, inside, cost, columns), -np.inf
    pace = 1.0
    for _ in range(min(STEPS, WORK // len(cost))):
        over = cost - inside @ prices
        taken = np.concatenate([_cheapest(over, columns, size, part.sizes.count(size)) for size in set(part.sizes)])
        off = 1.0 - inside[taken].sum(axis=0)
        now = float(prices.sum() + over[taken].sum())
        lowered = _lowered(prices, inside, cost, columns)
        if lowered.sum() > best_total:
            best, best_total = lowered, float(lowered.sum())
        length = float((off**2).sum())
        if not length:
            break
        prices = prices + pace * max(target - now, 0.01 * target) / length * off
        pace *= 0.985
    return best


def _cheapest(over: Floats, columns: Columns, size: int, count: int) -> Floats:
    """The cheapest group of a size, as often as the part has one of that size."""
    fits = np.flatnonzero(columns.sizes == size)
    cheapest = fits[np.argmin(over[fits])] if len(fits) else 0
    return np.full(count, cheapest)


def _lowered(prices: Floats, inside: Floats, cost: Floats, columns: Columns) -> Floats:
    """Prices lowered evenly until no group costs less than its children."""
    short = float(((cost - inside @ prices) / columns.sizes).min())
    lowered: Floats = prices + min(short, 0.0)
    return lowered
