"""What is asked of heats, and what an answer is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from clubapp.engine.heats_lanes import LaneDraw
from clubapp.engine.runners import Runner


class Mode(StrEnum):
    EVEN = "even"  # every heat as strong as the others, the quickest in different heats
    LIKE = "like"  # like with like: neighbours in speed race each other
    OPEN = "open"  # by lot


@dataclass(frozen=True)
class Problem:
    """runners: who starts, with their likely times. ranked: they stand in rank order already, as after a round; else
    they are ranked by their likely times.

    lanes: how many there are. heats: None = as few as the lanes allow. apart: pairs who do not race each other.
    Raises ValueError for figures out of range, an unknown id, or more children than there are lanes.
    """

    runners: tuple[Runner, ...]
    lanes: int
    mode: Mode = Mode.EVEN
    heats: int | None = None
    apart: tuple[frozenset[str], ...] = ()
    draw: LaneDraw = LaneDraw.LOT
    ranked: bool = False

    def __post_init__(self) -> None:
        ids = [runner.id for runner in self.runners]
        if not ids or len(set(ids)) < len(ids):
            raise ValueError("heats need children, each of them once")
        if self.lanes < 1 or not 1 <= self.count <= len(ids):
            raise ValueError("there must be a lane, and as many children as heats")
        if len(ids) > self.lanes * self.count:
            raise ValueError(f"{len(ids)} children do not fit into {self.count} heats of {self.lanes} lanes")
        if any(len(pair) != 2 or pair - set(ids) for pair in self.apart):
            raise ValueError("a pair is two children who are here")

    @property
    def count(self) -> int:
        """How many heats there are."""
        return -(-len(self.runners) // self.lanes) if self.heats is None else self.heats

    @property
    def order(self) -> tuple[Runner, ...]:
        """By rank, the quickest first; ties by id."""
        return self.runners if self.ranked else tuple(sorted(self.runners, key=lambda one: (one.ms, one.id)))


@dataclass(frozen=True)
class Heat:
    """places: (lane, id), by lane; lanes are numbered from 1, the innermost."""

    places: tuple[tuple[int, str], ...]

    @property
    def ids(self) -> tuple[str, ...]:
        return tuple(child for _, child in self.places)


@dataclass(frozen=True)
class Answer:
    """Heats in the order in which they are run."""

    heats: tuple[Heat, ...]


def means(problem: Problem, cut: Sequence[Sequence[str]]) -> list[float]:
    """The mean likely time of each heat, in milliseconds."""
    own = {runner.id: runner.ms for runner in problem.runners}
    return [sum(own[child] for child in heat) / len(heat) for heat in cut]
