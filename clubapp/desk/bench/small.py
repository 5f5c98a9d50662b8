"""Groups of an ordinary evening: when the best is found, and whether it is proven."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace

from clubapp.desk.bench.effort import TINY, Effort, longer, middle, over
from clubapp.desk.bench.rows import Row
from clubapp.desk.bench.squads import ruled
from clubapp.engine import groups as engine_groups
from clubapp.engine import limits
from clubapp.engine.limits import Limit, Progress
from clubapp.engine.outcome import Outcome, Status

SIZES = [(children, groups) for groups in (4, 5, 6) for children in (23, 24, 25, 26)]
IN_TIME_S, PROVEN_IN_S, CAREFUL_IN_S = 0.5, 5.0, 30.0


@dataclass(frozen=True)
class Try:
    """found: outcome at the default limit. best: the best known score. found_s: when it was reached; inf = never.

    careful_s: when the careful limit proved it; inf = not at all.
    """

    groups: int
    found: Outcome[engine_groups.Answer]
    best: float
    found_s: float
    careful_s: float

    @property
    def proven_s(self) -> float:
        return self.found.seconds if self.found.status is Status.BEST else math.inf


class Diary:
    """When which score was reached, in the processor's seconds, which other work does not lengthen."""

    def __init__(self) -> None:
        self.started, self.pages = time.process_time(), [(math.inf, 0.0)]

    def __call__(self, score: float, bound: float) -> bool:
        if score < self.pages[-1][0]:
            self.pages.append((score, time.process_time() - self.started))
        return True

    def when(self, score: float) -> float:
        return next((at for reached, at in self.pages if reached <= score + TINY), math.inf)


def tried(children: int, groups: int, seed: int, effort: Effort) -> Try:
    problem, diary = ruled(children, groups, seed), Diary()
    found = engine_groups.solve(problem, limit=replace(limits.DEFAULT, progress=Progress(diary)), seed=seed)
    diary(found.score, found.bound)
    careful = engine_groups.solve(problem, limit=limits.CAREFUL, seed=seed)
    best = min(found.score, careful.score)
    if Status.BEST not in (found.status, careful.status):
        best = searched(f"groups {children} x {groups}, seed {seed}", problem, careful, effort)
    proven = careful.seconds if careful.status is Status.BEST else math.inf
    return Try(groups, found, best, diary.when(best), proven)


LONG = Limit(deterministic=24.0)  # each of many


def searched(
    instance: str, problem: engine_groups.Problem, known: Outcome[engine_groups.Answer], effort: Effort
) -> float:
    """The best score that longer search finds, every other time beginning from the best so far."""

    def search(seed: int) -> float:
        nonlocal known
        start = known.answer if seed % 2 else None
        found = engine_groups.solve(problem, limit=LONG, seed=seed, start=start)
        known = min(known, found, key=lambda outcome: outcome.score)
        return found.score

    return longer(effort, instance, known.score, search)


def row(effort: Effort) -> Row:
    """12 sizes, or the first few of them."""
    rows = [tried(children, groups, seed, effort) for seed, (children, groups) in enumerate(SIZES, start=1)]
    return Row("groups 23 to 26 x 4 to 6", f"proof, or {effort.minutes:g} min of search", figures(rows))


def figures(rows: Sequence[Try]) -> dict[str, float | int | str]:
    four, six = [row for row in rows if row.groups == 4], [row for row in rows if row.groups == 6]
    unproven = [row for row in rows if row.found.status is not Status.BEST]
    return {
        "instances": len(rows),
        "best_found_within_0.5_s": sum(row.found_s <= IN_TIME_S for row in rows),
        "best_found_median_s": middle(row.found_s for row in rows),
        "best_found_worst_s": max(row.found_s for row in rows),
        "score_over_best_worst": max(over(row.found.score, row.best) for row in rows),
        "proven_within_5_s_of_4_groups": sum(row.proven_s <= PROVEN_IN_S for row in four),
        "of_4_groups": len(four),
        "careful_proven_within_30_s_of_6_groups": sum(row.careful_s <= CAREFUL_IN_S for row in six),
        "of_6_groups": len(six),
        "unproven": len(unproven),
        "unproven_with_a_bound_above_0": sum(row.found.bound > 0 for row in unproven),
        "seconds_median": middle(row.found.seconds for row in rows),
        "seconds_worst": max(row.found.seconds for row in rows),
    }
