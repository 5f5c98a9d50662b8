"""Fair groups: seconds and score against the two plain methods on the same children."""

from __future__ import annotations

import random
from datetime import date, timedelta

from clubapp.desk.bench.rows import Row
from clubapp.engine import groups as engine_groups
from clubapp.engine.words import Athlete

ON = date(2026, 11, 21)
YOUNGEST_DAYS, OLDEST_DAYS = 7 * 365, 15 * 365


def child(number: int, lot: random.Random) -> Athlete:
    """Older children are faster on the whole, with the spread one meets on a field."""
    days = lot.randint(YOUNGEST_DAYS, OLDEST_DAYS)
    speed_s = 11.2 - 0.33 * days / 365 + lot.gauss(0, 0.45)
    values = {"speed_s": round(speed_s, 2), "skill": float(lot.randint(1, 5))}
    return Athlete(f"c{number:03}", values, born=ON - timedelta(days=days))


def fair_groups(children: int = 24, groups: int = 6, seed: int = 1) -> Row:
    """24 × 6 by default."""
    lot = random.Random(seed)
    squad = tuple(child(number, lot) for number in range(children))
    problem = engine_groups.Problem(squad, ON, groups)
    outcome = engine_groups.solve(problem)
    plain = {
        "count_off": engine_groups.score(problem, engine_groups.count_off(problem)),
        "serpentine": engine_groups.score(problem, engine_groups.serpentine(problem)),
    }
    return Row(
        f"groups {children} x {groups}",
        "count-off and serpentine",
        {
            "status": str(outcome.status),
            "seconds": outcome.seconds,
            "score": outcome.score,
            "bound": outcome.bound,
            "score_count_off": plain["count_off"],
            "score_serpentine": plain["serpentine"],
        },
    )
