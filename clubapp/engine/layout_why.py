"""Why set-ups do not fit: one that has no room at all, too much ground together, or a smallest set that clashes."""

from __future__ import annotations

from dataclasses import replace

from clubapp.engine.cpsat import Proof
from clubapp.engine.layout_model import Model
from clubapp.engine.layout_problem import Problem
from clubapp.engine.layout_rules import grounded
from clubapp.engine.limits import Limit
from clubapp.engine.outcome import Reason
from clubapp.engine.whynot import smallest_clash

PROBE = Limit(deterministic=1.0)  # one test whether some of them fit
TESTS = 20


def stuck(problem: Problem) -> tuple[Reason, ...]:
    """Stations that were to stay where they cannot stand."""
    on = [place.station for place in problem.fixed if grounded(problem, place)]
    return tuple(
        Reason("stays", f"{problem.name(one)} cannot stay where it is.", (one,), f"Let {problem.name(one)} move.")
        for one in on
    )


def why(problem: Problem, seed: int) -> tuple[Reason, ...]:
    """The fewest stations that do not fit together; where one cannot stand even alone, that one."""
    ids = [station.id for station in problem.stations]
    alone = [one for one in ids if _clash(_only(problem, {one}), seed)]
    if alone:
        return tuple(_reason(problem, (one,)) for one in alone)
    chosen = smallest_clash(
        range(len(ids)), lambda kept: _clash(_only(problem, {ids[at] for at in kept}), seed), tests=TESTS
    )
    return (_reason(problem, tuple(ids[at] for at in chosen)),)


def _reason(problem: Problem, about: tuple[str, ...]) -> Reason:
    names = ", ".join(problem.name(one) for one in about)
    if len(about) == 1:
        return Reason("room", f"{names} needs more ground than there is.", about, "Make its set-up smaller.")
    text = f"There is not ground enough for these together: {names}."
    return Reason("room", text, about, f"Leave one of them out: {names}.")


def _only(problem: Problem, ids: set[str]) -> Problem:
    return replace(
        problem,
        stations=tuple(station for station in problem.stations if station.id in ids),
        fixed=tuple(place for place in problem.fixed if place.station in ids),
    )


def _clash(problem: Problem, seed: int) -> bool:
    return Model(problem).run(PROBE, seed).proof is Proof.NONE
