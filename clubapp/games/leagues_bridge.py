"""Stored fixtures ⇄ the engine's dataclasses. Sides are numbers from 1 as text: whoever stands for one may change."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from clubapp.engine import fairness as engine_fairness
from clubapp.engine import groups as engine_groups
from clubapp.engine import league as engine_league
from clubapp.engine import words
from clubapp.games import bridge

SPEED = "speed_s"


def groups_problem(problem: Mapping[str, Any], children: Iterable[str], on: date) -> engine_groups.Problem:
    """Teams as quick as each other."""
    ids = sorted(children)
    return engine_groups.Problem(
        athletes=tuple(words.Athlete(child, {SPEED: bridge.runner(problem, child).likely.median_s}) for child in ids),
        on=on,
        groups=problem["teams"],
        balance=(engine_fairness.Attribute(SPEED),),
        apart=bridge.pairs(problem, ids),
    )


def apart_s(problem: Mapping[str, Any], sides: Iterable[Iterable[str]]) -> float:
    """Seconds by which the means of the teams' likely times differ."""
    own = [[bridge.runner(problem, child).likely.median_s for child in side] for side in sides]
    means = [sum(times) / len(times) for times in own if times]
    return max(means) - min(means)


def fixtures_problem(problem: Mapping[str, Any], sides: Iterable[str]) -> engine_league.Problem:
    return engine_league.Problem(
        sides=tuple(sides),
        pitches=problem["pitches"],
        kind=engine_league.Kind(problem["how"]),
        slots=problem["slots"],
        again=problem["again"],
    )


def stored_slots(answer: engine_league.Answer) -> list[list[list[Any]]]:
    return [[[one.pitch, list(one.first), list(one.second), one.referee] for one in slot] for slot in answer.slots]


def slots_of(answer: Mapping[str, Any]) -> engine_league.Answer:
    return engine_league.Answer(
        tuple(
            tuple(engine_league.Fixture(pitch, tuple(one), tuple(two), who) for pitch, one, two, who in slot)
            for slot in answer["slots"]
        )
    )


def until(problem: Mapping[str, Any]) -> engine_league.Until | None:
    """When a game is over; None = when its time is."""
    if problem["ends"] == "first":
        return engine_league.Until(first_to=problem["goals"], lead=problem["lead"])
    return engine_league.Until(best_of=problem["goals"]) if problem["ends"] == "best" else None
