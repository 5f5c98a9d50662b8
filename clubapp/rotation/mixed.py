"""The command line's `--mix`: new groups in every round, with the other end of the trade beside them."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from clubapp.engine import groups as engine_groups
from clubapp.engine import limits, words
from clubapp.engine import mixing as engine_mixing
from clubapp.engine.mixing import Places
from clubapp.engine.outcome import Outcome, Reason, Status
from clubapp.people.csvfile import defused
from clubapp.rotation.commandline import Wish, attributes
from clubapp.rotation.roster_files import Roster


@dataclass(frozen=True)
class End:
    """One end of the trade. places: the station of each group in each round; empty where no stations were given."""

    outcome: Outcome[engine_mixing.Answer]
    places: Places = ()

    @property
    def rounds(self) -> tuple[engine_mixing.Groups, ...]:
        return self.outcome.answer.rounds if self.outcome.answer else ()


@dataclass(frozen=True)
class Mix:
    """best: nobody meets twice, then fair. other: fair in every round, then few meetings twice."""

    roster: Roster
    problem: engine_mixing.Problem
    bibs: tuple[str, ...]
    best: End
    other: End
    seconds: float

    @property
    def status(self) -> Status:
        return self.best.outcome.status


def make(wish: Wish, roster: Roster, stations: tuple[words.Station, ...] | None = None) -> Mix:
    """As many rounds as stations, or as groups where all play in one place, unless said otherwise."""
    watch = limits.Stopwatch()
    count = wish.groups or engine_groups.suggest_group_count(len(roster.athletes), len(stations or ()), 0)
    problem = engine_mixing.Problem(
        athletes=roster.athletes,
        on=wish.on,
        groups=count,
        rounds=wish.rounds or len(stations or ()) or count,
        balance=attributes(wish),
        together=roster.together,
        apart=roster.apart,
        not_alone=wish.not_alone,
        within_years=wish.age_gap,
        names=roster.names,
    )
    names = words.bib_names(count)
    bibs = tuple(names[at] for at in engine_groups.name_order(count, wish.seed))
    both = engine_mixing.trade(problem, limit=wish.limit, seed=wish.seed)
    best, other = (_at_stations(outcome, stations, wish.seed) for outcome in both)
    return Mix(roster, problem, bibs, best, other, watch.seconds)


def _at_stations(outcome: Outcome[engine_mixing.Answer], stations: tuple[words.Station, ...] | None, seed: int) -> End:
    """Where the groups work; impossible where they do not all fit at the stations."""
    if stations is None or outcome.answer is None:
        return End(outcome)
    places = engine_mixing.at_stations(outcome.answer, stations, seed)
    if places is not None:
        return End(outcome, places)
    groups = len(outcome.answer.rounds[0])
    text = f"{groups} groups do not fit at {len(stations)} stations at once."
    full = Reason("room", text, (), "Make fewer groups, or let a station take more of them.")
    return End(replace(outcome, answer=None, status=Status.IMPOSSIBLE, reasons=(full,)))


def as_json(mix: Mix) -> str:
    body = {
        "status": str(mix.status),
        "reasons": [f"{reason.text} {reason.way_out}" for reason in mix.best.outcome.reasons],
        **_end(mix, mix.best),
        "fair_first": _end(mix, mix.other),
        "seconds": round(mix.seconds, 3),
    }
    return json.dumps(body, ensure_ascii=False, indent=2)


def _end(mix: Mix, end: End) -> dict[str, Any]:
    """One end of the trade; nothing where the rules clash."""
    if end.outcome.answer is None:
        return {"rounds": [], "met": None}
    found = engine_mixing.report(mix.problem, end.outcome.answer)
    rounds = [
        {"round": turn, "groups": [_group(row) for row in _rows(mix, end, turn)], "fairness": fair}
        for turn, fair in enumerate(found.fairness, start=1)
    ]
    told: dict[str, Any] = {
        "rounds": rounds,
        "met": {"least": found.least, "most": found.most, "repeats": found.repeats},
        "score": end.outcome.score,
        "bound": end.outcome.bound,
    }
    if end.places:
        least, most = engine_mixing.visited(end.outcome.answer, end.places)
        told["stations_visited"] = {"least": least, "most": most}
    return told


def _group(row: Row) -> dict[str, Any]:
    station = {"station": row.station} if row.station else {}
    return {"name": row.bib, **station, "athletes": list(row.athletes)}


class Row(NamedTuple):
    """A group of a round. station: empty where all play in one place."""

    bib: str
    station: str
    athletes: tuple[str, ...]


def _rows(mix: Mix, end: End, turn: int) -> list[Row]:
    """The groups of a round, from 1, in the order of the bibs."""
    groups = end.rounds[turn - 1]
    order = words.bib_names(len(groups))
    places = end.places[turn - 1] if end.places else ("",) * len(groups)
    rows = [Row(*each) for each in zip(mix.bibs, places, groups, strict=True)]
    return sorted(rows, key=lambda row: order.index(row.bib))


def as_csv(mix: Mix) -> str:
    """One row a child: id, name, its bib in each round, and its station in each where there are some."""
    text = io.StringIO(newline="")
    lines = csv.writer(text, lineterminator="\n")
    turns = range(1, len(mix.best.rounds) + 1)
    stations = [f"station_{turn}" for turn in turns if mix.best.places]
    lines.writerow(["id", "name", *(f"round_{turn}" for turn in turns), *stations])
    seat = [{child: row for row in _rows(mix, mix.best, turn) for child in row.athletes} for turn in turns]
    for child in mix.problem.ids:
        there = [turn[child].station for turn in seat if mix.best.places]
        row = [child, mix.roster.names[child], *(turn[child].bib for turn in seat), *there]
        lines.writerow([defused(cell) for cell in row])
    return text.getvalue().rstrip("\n")


def as_text(mix: Mix) -> str:
    if mix.best.outcome.answer is None:
        rules = [f"  - {reason.text} {reason.way_out}" for reason in mix.best.outcome.reasons]
        return "\n".join(["These wishes cannot all be had together:", *rules])
    parts = []
    for turn in range(1, len(mix.best.rounds) + 1):
        rows = [_line(mix, row) for row in _rows(mix, mix.best, turn)]
        parts.append("\n".join([f"Round {turn}", *rows]))
    return "\n\n".join([*parts, "\n".join([_said(mix, mix.best), f"Fair first instead: {_said(mix, mix.other)}"])])


def _line(mix: Mix, row: Row) -> str:
    where = f" at {row.station}" if row.station else ""
    return f"  {row.bib}{where}: {', '.join(mix.roster.names[child] for child in row.athletes)}"


def _said(mix: Mix, end: End) -> str:
    """What a child sees of the others, and how fair it is."""
    if end.outcome.answer is None:
        return "nothing was found."
    found = engine_mixing.report(mix.problem, end.outcome.answer)
    said = (
        f"each child meets {found.least} to {found.most} others, {found.repeats} meetings happen again; "
        f"the least fair round has {max(found.fairness):.3f} (0 is perfect)."
    )
    if not end.places:
        return said
    least, most = engine_mixing.visited(end.outcome.answer, end.places)
    return f"{said} Each comes to {least} to {most} of the stations."
