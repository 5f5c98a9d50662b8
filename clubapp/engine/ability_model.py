"""The data of the ability model as matrices: fixed effects, and the covariance of one child's results.

Two results of one child have the covariance

    child + [same trial] own + form * exp(-days between / FADE_DAYS) + [same result] noise of the trial

and results of two children have none. Everything is in log(seconds).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

FADE_DAYS = 300.0  # form of that age counts 1/e; our own choice, common practice, no published source
MIDDLE_AGE = 11.0  # years; the age line is drawn about it
DAYS_A_YEAR = 365.25
AGE_SPREAD = 2.5  # years, of a child whose date of birth nobody gave, about the others' mean


@dataclass(frozen=True)
class Result:
    """One timed run. day: days since any fixed day; seconds: above 0."""

    child: str
    trial: str
    day: int
    seconds: float


@dataclass(frozen=True)
class Child:
    """born: day of birth in the count of results, or None; estimate: the coach's, standardised, higher is quicker."""

    id: str
    born: int | None = None
    estimate: float | None = None


@dataclass(frozen=True)
class Belief:
    """A normal prior: mean and standard deviation. An infinite sd says nothing."""

    mean: float
    sd: float


@dataclass(frozen=True)
class Priors:
    """What is believed before any result, in log(seconds): common practice, no published source.

    `slope` a year of age, `curve` a year squared about eleven, `estimate` a step of the coach's; child, own, form and
    noise are standard deviations, believed within a factor of exp(`loose`); `apart` is how far trials' noises
    may differ. own or form of None leaves that part out of the model; apart of None gives every trial the same noise.
    """

    slope: Belief = Belief(-0.045, 0.03)
    curve: Belief = Belief(0.002, 0.003)
    estimate: Belief = Belief(-0.04, 0.04)
    child: float = 0.08
    own: float | None = 0.03
    form: float | None = 0.03
    noise: float = 0.03
    loose: float = 0.6
    apart: float | None = 0.4

    @classmethod
    def none(cls) -> Priors:
        """Plain REML with one random effect a child and one noise: what any mixed-model program fits."""
        flat = Belief(0.0, math.inf)
        return cls(slope=flat, curve=Belief(0.0, 0.0), estimate=Belief(0.0, 0.0), own=None, form=None,
                   loose=math.inf, apart=None)  # fmt: skip


PRIORS = Priors()


@dataclass(frozen=True)
class Asked:
    """A result that is not there yet: its fixed effects, trial and day."""

    x: Array
    trial: int
    day: float


@dataclass(frozen=True)
class Block:
    """One child's n results. x: (n, fixed effects); y: log seconds; trial: its number; day; blind: a variance."""

    x: Array
    y: Array
    trial: npt.NDArray[np.int64]
    day: Array
    blind: float


@dataclass(frozen=True)
class Data:
    """All children's blocks, and the priors as numbers. Fixed effects: one a trial, then slope, curve, estimate."""

    trials: tuple[str, ...]
    children: Mapping[str, Child]
    blocks: Mapping[str, Block]
    priors: Priors
    mean_age: float

    @property
    def beliefs(self) -> tuple[Belief, ...]:
        """The priors of the fixed effects, in their order."""
        flat = Belief(0.0, math.inf)
        return (flat,) * len(self.trials) + (self.priors.slope, self.priors.curve, self.priors.estimate)

    @property
    def parts(self) -> tuple[str, ...]:
        """Names of the variances, in the order of theta: child, own, form, noise, then one a trial."""
        kept = [name for name in ("own", "form") if getattr(self.priors, name) is not None]
        apart = self.trials if self.priors.apart is not None else ()
        return ("child", *kept, "noise", *apart)

    def block_of(self, child: Child) -> Block:
        """The child's results, or an empty block."""
        found = self.blocks.get(child.id)
        return found if found is not None else _block(self.trials, child, [], self.priors, self.mean_age)


# --- from results to matrices ----------------------------------------------------------------------------------------


def prepare(results: Sequence[Result], children: Sequence[Child], priors: Priors) -> Data:
    """Sort results by child; the order they came in does not matter.

    Raises:
        ValueError: there are none, or one is not above 0 seconds.
    """
    if not results:
        raise ValueError("no results to learn from")
    if any(not (row.seconds > 0 and math.isfinite(row.seconds)) for row in results):
        raise ValueError("a result is to be above 0 seconds")
    known = {child.id: child for child in children}
    mean_age = _mean_age(results, known)
    trials = tuple(sorted({row.trial for row in results}))
    by_child: dict[str, list[Result]] = {}
    for row in sorted(results, key=lambda row: (row.child, row.day, row.trial, row.seconds)):
        by_child.setdefault(row.child, []).append(row)
    blocks = {id: _block(trials, known.get(id, Child(id)), rows, priors, mean_age) for id, rows in by_child.items()}
    return Data(trials, known, blocks, priors, mean_age)


def _mean_age(results: Sequence[Result], known: Mapping[str, Child]) -> float:
    ages = [age for row in results if (age := _age(known.get(row.child), row.day)) is not None]
    return math.fsum(ages) / len(ages) if ages else MIDDLE_AGE


def _age(child: Child | None, day: float) -> float | None:
    return None if child is None or child.born is None else (day - child.born) / DAYS_A_YEAR


def _block(trials: Sequence[str], child: Child, rows: Sequence[Result], priors: Priors, mean_age: float) -> Block:
    number = {trial: n for n, trial in enumerate(trials)}
    x = [_effects(len(trials), number[row.trial], child, row.day, mean_age) for row in rows]
    return Block(
        x=np.array(x, dtype=np.float64).reshape(len(rows), len(trials) + 3),
        y=np.log(np.array([row.seconds for row in rows], dtype=np.float64)),
        trial=np.array([number[row.trial] for row in rows], dtype=np.int64),
        day=np.array([row.day for row in rows], dtype=np.float64),
        blind=_blind(child, priors),
    )


def _blind(child: Child, priors: Priors) -> float:
    """What not knowing the age, or having no estimate, adds to the variance between children."""
    ages = (priors.slope.mean * AGE_SPREAD) ** 2 if child.born is None else 0.0
    return ages + (priors.estimate.mean**2 if child.estimate is None else 0.0)


def _effects(trials: int, trial: int, child: Child, day: float, mean_age: float) -> list[float]:
    age = _age(child, day)
    years = (mean_age if age is None else age) - MIDDLE_AGE
    return [*(float(n == trial) for n in range(trials)), years, years**2, child.estimate or 0.0]


def row(data: Data, child: Child, trial: str, day: int) -> Asked:
    """What is asked for, in the model's terms; `trial` is one of the data's."""
    number = data.trials.index(trial)
    x = np.array(_effects(len(data.trials), number, child, day, data.mean_age))
    return Asked(x, number, float(day))


# --- covariances -----------------------------------------------------------------------------------------------------


def kernels(data: Data, block: Block) -> Array:
    """(variances, n, n): what each variance is multiplied with; the last, a trial's own, scale its noise."""
    n = len(block.y)
    made = {"child": np.ones((n, n)), "own": (block.trial[:, None] == block.trial[None, :]).astype(np.float64)}
    made["form"] = np.exp(-np.abs(block.day[:, None] - block.day[None, :]) / FADE_DAYS)
    made["noise"] = np.eye(n)
    return np.stack([made[name] for name in data.parts if name in made])


def variances(data: Data, theta: Array) -> dict[str, float]:
    """theta holds log variances, then for each trial the log of its noise against the common one."""
    return {name: math.exp(value) for name, value in zip(data.parts, theta, strict=True)}


def noise_of(data: Data, theta: Array, trial: str) -> float:
    """The variance of a single run on `trial`."""
    found = variances(data, theta)
    return found["noise"] * found.get(trial, 1.0) if data.priors.apart is not None else found["noise"]


def covariance_with(data: Data, theta: Array, block: Block, asked: Asked) -> tuple[Array, float]:
    """(n,) covariances of the child's results with its level at what is asked, and that level's own variance."""
    found = variances(data, theta)
    own, form = found.get("own", 0.0), found.get("form", 0.0)
    faded = np.exp(-np.abs(block.day - asked.day) / FADE_DAYS)
    shared = found["child"] + block.blind + own * (block.trial == asked.trial) + form * faded
    return shared, found["child"] + block.blind + own + form
