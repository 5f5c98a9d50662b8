"""A plan of the command line as JSON, as a table for a spreadsheet, and as a sheet to read."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator, Sequence
from itertools import accumulate
from typing import Any

from clubapp.engine import rotation as engine_rotation
from clubapp.engine.outcome import Status
from clubapp.engine.timetable import Kind, clock
from clubapp.people.csvfile import defused
from clubapp.rotation.commandline import Plan

STATUS = {
    Status.BEST: "proven best",
    Status.GOOD: "good; the best is not proven",
    Status.SIMPLE: "made by the plain method",
    Status.IMPOSSIBLE: "not possible",
}


def as_json(plan: Plan) -> str:
    """One object with exactly these keys; `seconds` is all that differs between equal runs."""
    body: dict[str, Any] = {
        "status": str(plan.status),
        "reasons": told(plan),
        "groups": [{"name": bib, "athletes": list(group)} for bib, group in plan.groups],
        "rounds": list(_rounds(plan)),
        "fairness": _fairness(plan),
        "walking_m": walking_m(plan),
        "timetable": [
            {"kind": str(entry.kind), "seconds": entry.seconds, "round": entry.round}
            for entry in (plan.hours.entries if plan.hours else ())
        ],
        "seconds": round(plan.seconds, 3),
    }
    return json.dumps(body, ensure_ascii=False, indent=2)


def told(plan: Plan) -> list[str]:
    """Each reason with its way out."""
    return [" ".join(part for part in (reason.text, reason.way_out) if part) for reason in plan.reasons]


def _rounds(plan: Plan) -> Iterator[dict[str, Any]]:
    for turn in range(1, len(plan.rotation.rounds) + 1) if plan.rotation else ():
        at = {station.id: list(_at(plan, station.id, turn)) for station in plan.problem.stations}
        yield {"round": turn, "at": at, "resting": list(_at(plan, None, turn))}


def _at(plan: Plan, station: str | None, turn: int) -> tuple[str, ...]:
    """Bibs at a station in a round, or resting."""
    return tuple(bib for bib, where in plan.rotation.rounds[turn - 1] if where == station) if plan.rotation else ()


def _fairness(plan: Plan) -> dict[str, Any]:
    if plan.fair is None:
        return {"score": None, "bound": None, "attributes": {}}
    rows = {row.name: {"spread": row.spread, "unit": row.unit} for row in plan.fair.attributes}
    return {"score": plan.fair.score, "bound": plan.bound, "attributes": rows}


def walking_m(plan: Plan) -> float | None:
    """Metres of all groups together, or None without a rotation."""
    return engine_rotation.walking_m(plan.problem, plan.rotation) if plan.rotation else None


def as_csv(plan: Plan) -> str:
    """One row a child: id, name, group, and where it is in each round."""
    text = io.StringIO(newline="")
    lines = csv.writer(text, lineterminator="\n")
    turns = range(1, plan.problem.rounds + 1)
    lines.writerow(["id", "name", "group", *(f"round_{turn}" for turn in turns)])
    for bib, group in plan.groups:
        path = plan.rotation.path(bib) if plan.rotation else ()
        for child in group:
            row = [child, plan.roster.names[child], bib, *(where or "" for where in path)]
            lines.writerow([defused(cell) for cell in row])
    return text.getvalue().rstrip("\n")


def as_text(plan: Plan) -> str:
    """A sheet to read from the field's edge."""
    if plan.status is Status.IMPOSSIBLE:
        return "\n".join(["These wishes cannot all be had together:", *(f"  - {line}" for line in told(plan))])
    parts = [_heading(plan), _children(plan), _grid(plan), _hours(plan), _figures(plan)]
    return "\n\n".join("\n".join(part) for part in parts)


def _heading(plan: Plan) -> list[str]:
    problem = plan.problem
    counts = [
        _counted(len(plan.roster.athletes), "child", "children"),
        _counted(len(problem.groups), "group", "groups"),
        _counted(len(problem.stations), "station", "stations"),
        _counted(problem.rounds, "round", "rounds"),
    ]
    return [f"{plan.wish.on:%A} {plan.wish.on.day} {plan.wish.on:%B %Y}: {', '.join(counts)}"]


def _counted(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def _children(plan: Plan) -> list[str]:
    width = max(len(bib) for bib, _ in plan.groups)
    return [
        f"{bib:{width}}  {', '.join(sorted(plan.roster.names[child] for child in group))}" for bib, group in plan.groups
    ]


def _grid(plan: Plan) -> list[str]:
    """Stations down, rounds across."""
    turns = range(1, plan.problem.rounds + 1)
    rows = [["", *(f"Round {turn}" for turn in turns)]]
    for station in plan.problem.stations:
        rows.append([station.id, *(" + ".join(_at(plan, station.id, turn)) or "-" for turn in turns)])
    if any(_at(plan, None, turn) for turn in turns):
        rows.append(["resting", *(" + ".join(_at(plan, None, turn)) or "-" for turn in turns)])
    return list(_table(rows))


def _table(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        yield "  ".join(f"{cell:{width}}" for cell, width in zip(row, widths, strict=True)).rstrip()


def _hours(plan: Plan) -> list[str]:
    entries = plan.hours.entries if plan.hours else ()
    starts = list(accumulate((entry.seconds for entry in entries), initial=0))
    named = {Kind.WORK: "work, round {}", Kind.CHANGE: "change-over"}
    lines = [
        [clock(at), named.get(entry.kind, str(entry.kind)).format(entry.round), clock(entry.seconds)]
        for entry, at in zip(entries, starts, strict=False)
    ]
    return [*_table([["from", "what", "for"], *lines]), f"All of it takes {clock(starts[-1])}."]


def _figures(plan: Plan) -> list[str]:
    lines = [f"Groups and rotation: {STATUS[plan.status]}."]
    if plan.fair and plan.fair.attributes:
        lines.append(f"Fairness {plan.fair.score:.5f} (0 is perfect), the best is at least {plan.bound:.5f}.")
        lines += [
            f"  {row.name}: group means within {row.spread:.3f} {row.unit}".rstrip() for row in plan.fair.attributes
        ]
        for name, gaps in plan.fair.gaps:
            who = ", ".join(sorted(plan.roster.names[child] for child in gaps))
            lines.append(f"  {name} is not known of {who}: the mean of the same age stands in for it.")
    lines.append(f"Walking: {walking_m(plan):.0f} m, all groups together.")
    if plan.ends:
        gentle, short = plan.ends
        lines.append(
            f"With {short.hard_run} hard stations in a row instead of {gentle.hard_run} it would be "
            f"{short.walking_m:.0f} m."
        )
    return lines
