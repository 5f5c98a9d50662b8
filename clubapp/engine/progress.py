"""Repeated tests: how repeatable they are, and whether one child's change is more than chance.

A child's results vary from attempt to attempt (deviation w) and, beyond that, from day to day (deviation d): a day of m
attempts, taken as their mean, has the error e(m) = √(d² + w²/m), and e(1) is the typical error. A change between two
days is more than chance above 1.96 · √(e(m)² + e(n)²), which for single attempts is the minimal detectable change
1.96 · √2 · TE. Formulas as in Hopkins 2000 (Sports Medicine 30:1-15) and Weir 2005 (J Strength Cond Res 19:231-240);
intraclass correlations after Shrout and Fleiss 1979 (Psychol Bull 86:420-428).
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from statistics import fmean, stdev, variance

LEAST_DAYS = 3  # comparable days before anything is said of a child
LEAST_FREEDOM = 10  # differences between days before chance is known; common practice, no published source
Z_95 = 1.96
WORTHWHILE = 0.2  # of the standard deviation between children (Hopkins)
Table = Sequence[Sequence[float]]  # one row a child, one column a trial, nothing missing


class Better(StrEnum):
    """Which way is better in a test."""

    LESS = "less"  # a time
    MORE = "more"  # a distance


class Verdict(StrEnum):
    BETTER = "better, and more than chance"
    WORSE = "worse, and more than chance"
    UNCLEAR = "no clear change"
    TOO_FEW = "not enough tests yet"


# --- how repeatable a test is ---


@dataclass(frozen=True)
class Anova:
    """Mean squares of children × trials: between children, between trials, what is left, within children."""

    children: int
    trials: int
    between: float
    trial: float
    left: float
    within: float

    @property
    def typical_error(self) -> float:
        """Of one attempt, the differences between trials taken out; of two trials SD of the differences / √2."""
        return math.sqrt(self.left)


def anova(table: Table) -> Anova:
    """Two-way, without repetition.

    Raises:
        ValueError: fewer than two children or trials, or rows of different length.
    """
    n, k = len(table), len(table[0]) if table else 0
    if n < 2 or k < 2 or any(len(row) != k for row in table):
        raise ValueError("at least two children with the same two trials or more are needed")
    rows, columns = [fmean(row) for row in table], [fmean(column) for column in zip(*table, strict=True)]
    middle = fmean(rows)
    between = k * math.fsum((row - middle) ** 2 for row in rows)
    trial = n * math.fsum((column - middle) ** 2 for column in columns)
    within = math.fsum((value - mean) ** 2 for row, mean in zip(table, rows, strict=True) for value in row)
    left = max(0.0, within - trial)
    return Anova(n, k, between / (n - 1), trial / (k - 1), left / ((n - 1) * (k - 1)), within / (n * (k - 1)))


@dataclass(frozen=True)
class Agreement:
    """Intraclass correlations of one trial (one-way, absolute agreement, consistency) and of the mean of all trials."""

    one_way: float
    absolute: float
    consistency: float
    one_way_mean: float
    absolute_mean: float
    consistency_mean: float


def agreement(found: Anova) -> Agreement:
    """Shrout and Fleiss's (1,1), (2,1), (3,1), (1,k), (2,k), (3,k). Children who do not differ agree by nothing: 0."""
    n, k, b, j, e, w = found.children, found.trials, found.between, found.trial, found.left, found.within
    return Agreement(
        _share(b - w, b + (k - 1) * w),
        _share(b - e, b + (k - 1) * e + k * (j - e) / n),
        _share(b - e, b + (k - 1) * e),
        _share(b - w, b),
        _share(b - e, b + (j - e) / n),
        _share(b - e, b),
    )


def _share(part: float, whole: float) -> float:
    return part / whole if whole else 0.0


@dataclass(frozen=True)
class Error:
    """How far chance moves a result: the deviation between attempts of a day, and that of days beyond it."""

    attempt: float
    day: float = 0.0

    @property
    def typical(self) -> float:
        """Of one attempt on one day."""
        return self.of(1)

    def of(self, attempts: int) -> float:
        """Of the mean of a day's attempts."""
        return math.hypot(self.day, self.attempt / math.sqrt(attempts))

    def at(self, level: float) -> Error:
        """An error of logarithms as one of values about a level."""
        return Error(self.attempt * level, self.day * level)


def detectable_change(error: Error, m: int = 1, n: int = 1) -> float:
    """The change from a day of m attempts to one of n that chance exceeds one time in twenty."""
    return Z_95 * math.hypot(error.of(m), error.of(n))


def worthwhile_change(values: Sequence[float]) -> float:
    """The smallest change that matters: a fifth of the sample deviation between children, 0 of fewer than two."""
    return WORTHWHILE * stdev(values) if len(values) > 1 else 0.0


def variation_percent(table: Table) -> float:
    """The typical error as a percentage of the value, from logarithms. Values above 0."""
    logs = [[math.log(value) for value in row] for row in table]
    return 100 * math.expm1(anova(logs).typical_error)


def limits_of_agreement(pairs: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Between which nineteen of twenty differences, the second from the first, lie (Bland and Altman 1986)."""
    apart = [second - first for first, second in pairs]
    middle, wide = fmean(apart), Z_95 * stdev(apart)
    return middle - wide, middle + wide


def pooled_error(repeats: Sequence[Sequence[float]]) -> float | None:
    """The typical error from children's attempts on one day each, any number of them; None without a second attempt."""
    many = [attempts for attempts in repeats if len(attempts) > 1]
    if not many:
        return None
    freedom = sum(len(attempts) - 1 for attempts in many)
    return math.sqrt(math.fsum(variance(attempts) * (len(attempts) - 1) for attempts in many) / freedom)


# --- days ---


@dataclass(frozen=True)
class Day:
    """on: the day's number. values: attempts that count. conditions: surface and timing; days alike in them compare."""

    on: int
    values: tuple[float, ...]
    conditions: tuple[str, ...] = ()

    @property
    def mean(self) -> float:
        return fmean(self.values)


def error_of_logs(children: Sequence[Sequence[Day]]) -> Error | None:
    """How far chance moves the logarithm of a result, from everybody's comparable days.

    Between attempts: the deviation within days, pooled. Between days: from each child's differences between one day and
    the next, less the mean of those who took it on the same two days, so that what all gain together is no error; what
    some gain more than others does count as error, which makes the verdict slower and never quicker. Where no day has a
    second attempt all of it is laid on the day. Values above 0. None: fewer than `LEAST_FREEDOM` such differences.
    """
    ordered = [sorted((day for day in days if day.values), key=lambda day: day.on) for days in children]
    within = pooled_error([[math.log(value) for value in day.values] for days in ordered for day in days]) or 0.0
    steps: dict[tuple[int, int], list[tuple[float, float]]] = defaultdict(list)
    for days in ordered:
        for one, two in pairwise(days):
            steps[one.on, two.on].append((_log(two) - _log(one), 1 / len(one.values) + 1 / len(two.values)))
    freedom = sum(len(together) - 1 for together in steps.values())
    if freedom < LEAST_FREEDOM:
        return None
    left = 0.0
    for together in steps.values():
        middle = fmean(change for change, _ in together)
        chance = within**2 * math.fsum(parts for _, parts in together) * (1 - 1 / len(together))
        left += math.fsum((change - middle) ** 2 for change, _ in together) - chance
    return Error(within, math.sqrt(max(0.0, left / (2 * freedom))))


def _log(day: Day) -> float:
    return fmean(math.log(value) for value in day.values)


# --- one child ---


@dataclass(frozen=True)
class Progress:
    """What can be said of one child on one test.

    change: of the last comparable day from the first, in the test's unit; detectable: the least that is more than
    chance. band: where chance alone would have put the last day. held: the comparable day before the last was better by
    more than chance too. odd: days on another surface or timed another way, marked and not judged.
    """

    verdict: Verdict
    change: float | None = None
    detectable: float | None = None
    band: tuple[float, float] | None = None
    held: bool = False
    odd: tuple[int, ...] = ()


def comparable(days: Sequence[Day]) -> list[Day]:
    """Those under the conditions of the last, in order."""
    ordered = sorted((day for day in days if day.values), key=lambda day: day.on)
    return [day for day in ordered if day.conditions == ordered[-1].conditions]


def judged(days: Sequence[Day], better: Better, error: Error | None, worthwhile: float = 0.0) -> Progress:
    """From the first day that can be compared with the last to the last.

    error: in the test's unit; None: not known yet. worthwhile: a smaller change says nothing, even where it is more
    than chance.
    """
    alike = comparable(days)
    odd = tuple(sorted(day.on for day in days if day.values and day.conditions != alike[-1].conditions))
    if len(alike) < LEAST_DAYS or error is None:
        return Progress(Verdict.TOO_FEW, odd=odd)
    first, before, last = alike[0], alike[-2], alike[-1]
    detectable = detectable_change(error, len(first.values), len(last.values))
    verdict = _verdict(first, last, better, max(detectable, worthwhile))
    earlier = _verdict(first, before, better, detectable_change(error, len(first.values), len(before.values)))
    return Progress(
        verdict,
        change=last.mean - first.mean,
        detectable=detectable,
        band=(first.mean - detectable, first.mean + detectable),
        held=verdict is earlier is Verdict.BETTER,
        odd=odd,
    )


def _verdict(first: Day, last: Day, better: Better, least: float) -> Verdict:
    change = last.mean - first.mean
    if abs(change) <= least:
        return Verdict.UNCLEAR
    return Verdict.BETTER if (change < 0) == (better is Better.LESS) else Verdict.WORSE
