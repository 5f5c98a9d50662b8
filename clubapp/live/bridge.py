"""Rows ⇄ the engine's bell. The only place where a plan becomes a schedule."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from clubapp.engine import clock
from clubapp.live import queries
from clubapp.live.models import Command
from clubapp.rotation.queries import PlanView


def schedule_of(plan: PlanView) -> clock.Schedule:
    """Gather, rounds, change-overs, water and the rest in their order."""
    return clock.Schedule(tuple(clock.Segment(part.kind, part.seconds, part.round) for part in plan.timetable))


def args_of_plan(plan: PlanView) -> dict[str, Any]:
    """What the log keeps of a plan: it can be played again whatever becomes of the plan's row."""
    segments = [[part.kind, part.seconds, part.round] for part in plan.timetable]
    return {"plan": plan.version, "segments": segments}


def command_of(row: Command) -> clock.Command:
    """A line of the log as the engine takes it."""
    args: Mapping[str, Any] = row.args
    segments = args.get("segments")
    return clock.Command(
        kind=clock.Kind(row.kind),
        seq=row.seq,
        seen=row.seen,
        at_ms=row.at_ms,
        seconds=args.get("seconds", 0),
        index=args.get("index"),
        plan=args.get("plan", 0),
        round=args.get("round"),
        schedule=clock.Schedule(tuple(clock.Segment(*part) for part in segments)) if segments else None,
        reason=clock.Reason(args.get("reason", "")),
    )


def followed_plan(session_id: UUID, state: clock.State, newest: PlanView | None) -> PlanView | None:
    """The plan the bell goes by: the newest as long as it only moves children, else the one the bell was told."""
    if newest is None or not state.started or newest.version == state.plan:
        return newest
    told = queries.plan_version(session_id, state.plan)
    if told is None or (told.timetable, told.rounds) == (newest.timetable, newest.rounds):
        return newest
    return told
