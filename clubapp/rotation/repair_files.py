"""`--repair`: a plan the command made, read back, and what changed since; knows no database, no clock and no screen."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from clubapp.engine import cpsat, limits, words
from clubapp.engine import fairness as engine_fairness
from clubapp.engine import groups as engine_groups
from clubapp.engine import repair as engine_repair
from clubapp.engine import rotation as engine_rotation
from clubapp.engine import timetable as engine_timetable
from clubapp.engine.outcome import Outcome, Status
from clubapp.rotation import commandline, printed, roster_files
from clubapp.rotation.commandline import Plan, Wish
from clubapp.rotation.roster_files import InputError, Roster

V = TypeVar("V")
KINDS = "left:ID, late:ID, easy:ID, closed:STATION@ROUND, adult:STATION, merged:GROUP, lost:SECONDS"


@dataclass(frozen=True)
class Running:
    """The plan as it was read. rounds: for each round the stations of the groups that have one."""

    name: str
    groups: tuple[tuple[str, tuple[str, ...]], ...]
    rounds: tuple[Mapping[str, str], ...]
    stations: tuple[words.Station, ...]
    hours: engine_timetable.Answer


@dataclass(frozen=True)
class Order:
    """What was asked. at_round: None = it was not said."""

    running: Running
    at_round: int | None
    changes: tuple[str, ...]


@dataclass(frozen=True)
class Repaired:
    """The new plan, and of it who moves and who misses what. answer: None where there is none."""

    plan: Plan
    answer: engine_repair.Answer | None

    @property
    def status(self) -> Status:
        return self.plan.status


def read(name: str, data: bytes) -> Running:
    """The command's own JSON."""
    try:
        body = json.loads(data)
    except ValueError as error:
        raise InputError(f"{name}: it is no JSON: {error}.") from error
    page = _Page(name, body)
    groups = tuple(
        (page.of(row, f"groups {at}", "name", str), tuple(page.texts(row, f"groups {at}", "athletes")))
        for at, row in enumerate(page.of(body, "", "groups", list), start=1)
    )
    rows = page.of(body, "", "rounds", list)
    if not groups or not rows:
        raise InputError(f"{name}: there is no plan in it.")
    page.once([child for _bib, children in groups for child in children], "groups, athletes")
    page.once([bib for bib, _children in groups], "groups, name")
    stations = tuple(dict.fromkeys(station for row in rows for station in page.of(row, "rounds", "at", dict)))
    return Running(
        name,
        groups,
        rounds=tuple(_round(page, row, at, {bib for bib, _ in groups}) for at, row in enumerate(rows, start=1)),
        stations=tuple(words.Station(station, groups_max=_most(rows, station)) for station in stations),
        hours=engine_timetable.Answer(tuple(_entries(page, page.of(body, "", "timetable", list)))),
    )


@dataclass(frozen=True)
class _Page:
    """A file, so that every complaint can say where it is."""

    name: str
    body: object

    def of(self, row: object, where: str, key: str, kind: type[V]) -> V:
        """What stands under a key."""
        value = row.get(key) if isinstance(row, dict) else None
        if not isinstance(value, kind) or isinstance(value, bool):
            raise self.wrong(", ".join(part for part in (where, key) if part))
        return value

    def texts(self, row: object, where: str, key: str) -> list[str]:
        found = self.of(row, where, key, list)
        if not all(isinstance(text, str) for text in found):
            raise self.wrong(f"{where}, {key}")
        return found

    def wrong(self, where: str) -> InputError:
        return InputError(f"{self.name}, {where}: this is not what the command writes with --format json.")

    def once(self, ids: list[str], where: str) -> None:
        twice = next((one for one in ids if ids.count(one) > 1), None)
        if twice is not None:
            raise InputError(f"{self.name}, {where}: “{twice}” stands there twice.")


def _round(page: _Page, row: object, number: int, bibs: set[str]) -> Mapping[str, str]:
    """Where each group is; one that rests is left out."""
    where = f"rounds {number}"
    places = page.of(row, where, "at", dict)
    at = [(bib, station) for station in places for bib in page.texts(places, where, station)]
    page.once([bib for bib, _station in at], where)
    if page.of(row, where, "round", int) != number or not {bib for bib, _station in at} <= bibs:
        raise page.wrong(where)
    return dict(at)


def _most(rows: list[Any], station: str) -> int:
    """As many groups as the plan ever has there: nothing else is known of it."""
    return max(1, *(len(row["at"].get(station, ())) for row in rows))


def _entries(page: _Page, rows: list[object]) -> Iterator[engine_timetable.Entry]:
    kinds = {str(kind): kind for kind in engine_timetable.Kind}
    for number, row in enumerate(rows, start=1):
        where = f"timetable {number}"
        kind, seconds = page.of(row, where, "kind", str), page.of(row, where, "seconds", int)
        turn = row.get("round") if isinstance(row, dict) else None
        if kind not in kinds or seconds < 0 or not (turn is None or type(turn) is int):
            raise page.wrong(where)
        yield engine_timetable.Entry(kinds[kind], seconds, turn)


def make(wish: Wish, roster: Roster, stations: tuple[words.Station, ...] | None, order: Order) -> Repaired:
    """The plan from the round on, as little changed as can be. stations: None = what the plan says of them."""
    problem = _problem(wish, roster, stations or order.running.stations, order)
    cpsat.new_model()  # loads the solver, which happens once and is no thinking about this plan
    watch = limits.Stopwatch()
    done = engine_repair.solve(problem, limit=wish.limit, seed=wish.seed)
    here = replace(roster, athletes=problem.here.athletes)
    nothing = Plan(wish, here, problem.turns, Status.IMPOSSIBLE, reasons=done.reasons, seconds=watch.seconds)
    return Repaired(nothing if done.answer is None else _plan(nothing, problem, done, done.answer), done.answer)


def _plan(
    nothing: Plan,
    problem: engine_repair.Problem,
    done: Outcome[engine_repair.Answer],
    answer: engine_repair.Answer,
) -> Plan:
    fair = engine_fairness.report(problem.here.athletes, problem.here.on, problem.here.balance, answer.groups.groups)
    return replace(
        nothing,
        problem=replace(problem.turns, rounds=len(answer.rotation.rounds)),
        status=done.status,
        groups=tuple(zip(problem.turns.groups, answer.groups.groups, strict=True)),
        rotation=answer.rotation,
        hours=answer.hours,
        fair=fair,
        bound=max(0.0, fair.score - (done.score - done.bound)),
        reasons=(),
    )


def _problem(wish: Wish, roster: Roster, stations: tuple[words.Station, ...], order: Order) -> engine_repair.Problem:
    running = order.running
    bibs = tuple(bib for bib, _children in running.groups)
    _check(roster, stations, order)
    rules = commandline.groups_problem(wish, roster, len(bibs))
    turns = engine_rotation.Problem(bibs, stations, len(running.rounds), max_hard_run=wish.max_hard_run)
    try:
        return engine_repair.Problem(
            rules=rules,
            groups=engine_groups.Answer.of([children for _bib, children in running.groups]),
            turns=turns,
            rotation=engine_rotation.Answer(tuple(tuple((bib, at.get(bib)) for bib in bibs) for at in running.rounds)),
            hours=running.hours,
            at_round=order.at_round or 0,
            changes=tuple(_change(text, order) for text in order.changes),
        )
    except ValueError as error:
        raise error if isinstance(error, InputError) else InputError(f"--change: {error}.") from error


def _check(roster: Roster, stations: tuple[words.Station, ...], order: Order) -> None:
    """What the plan names is there."""
    running, rounds = order.running, len(order.running.rounds)
    if order.at_round is None or not 1 <= order.at_round <= rounds:
        raise InputError(f"--round: say which round the plan is in, 1 to {rounds}.")
    known = {station.id for station in stations}
    for station in running.stations:
        if station.id not in known:
            raise InputError(f"{running.name}, rounds: there is no station “{station.id}” in --stations.")
    works = [entry.round for entry in running.hours.entries if entry.kind is engine_timetable.Kind.WORK]
    if works != list(range(1, rounds + 1)):
        raise InputError(f"{running.name}, timetable: it does not have every round once.")
    gone = {text.partition(":")[2].strip() for text in order.changes if text.startswith("left:")}
    for child in sorted({child for _bib, group in running.groups for child in group} - gone):
        if child not in roster.names:
            raise InputError(f"{running.name}, groups: “{child}” is not in the roster.")


def _change(text: str, order: Order) -> engine_repair.Change:
    kind, _, what = (part.strip() for part in text.partition(":"))
    makers: dict[str, Callable[[str], engine_repair.Change]] = {
        "left": engine_repair.Left,
        "late": engine_repair.Late,
        "easy": engine_repair.GoEasy,
        "adult": engine_repair.AdultGone,
        "closed": _closed,
        "merged": lambda bib: engine_repair.Merged(_index(bib, order)),
        "lost": lambda seconds: engine_repair.Lost(_count(seconds)),
    }
    if kind not in makers or not what:
        raise InputError(f"--change: “{text}” is nothing that can change; there are {KINDS}.")
    return makers[kind](what)


def _closed(text: str) -> engine_repair.Closed:
    station, at, turn = text.rpartition("@")
    return engine_repair.Closed(station.strip(), _count(turn)) if at else engine_repair.Closed(text)


def _count(text: str) -> int:
    try:
        return roster_files.count(text.strip()) or 0
    except ValueError as error:
        raise InputError(f"--change: {error}") from error


def _index(bib: str, order: Order) -> int:
    bibs = [name for name, _children in order.running.groups]
    if bib not in bibs:
        raise InputError(f"--change: there is no group “{bib}”; there are {', '.join(bibs)}.")
    return bibs.index(bib)


def as_json(done: Repaired) -> str:
    """The plan's own keys, and moves and owed."""
    body = json.loads(printed.as_json(done.plan))
    gone = {bib for bib, children in done.plan.groups if not children}
    for row in body["rounds"]:
        row["resting"] = [bib for bib in row["resting"] if bib not in gone]
    return json.dumps({**body, "moves": list(_moves(done)), "owed": list(_owed(done))}, ensure_ascii=False, indent=2)


def _moves(done: Repaired) -> Iterator[dict[str, str]]:
    bibs = [bib for bib, _children in done.plan.groups]
    for move in done.answer.moves if done.answer else ():
        was = "" if move.was is None else bibs[move.was]
        yield {"athlete": move.athlete, "from": was, "to": bibs[move.now], "why": move.why.text}


def _owed(done: Repaired) -> Iterator[dict[str, str]]:
    for one in done.answer.owed if done.answer else ():
        yield {"athlete": one.athlete, "station": one.station}


def as_text(done: Repaired) -> str:
    """The sheet, with who moves and who is owed what."""
    names = done.plan.roster.names
    moves = [f"{names[row['athlete']]}: {row['from']} to {row['to']}. {row['why']}" for row in _moves(done)]
    owed = [f"{names[row['athlete']]}: {row['station']}" for row in _owed(done)]
    parts = [printed.as_text(done.plan)]
    if done.answer:
        parts.append("\n".join(["Who changes groups:", *(moves or ["nobody"])]))
    if owed:
        parts.append("\n".join(["Owed next week:", *owed]))
    return "\n\n".join(parts)


def as_csv(done: Repaired) -> str:
    return printed.as_csv(done.plan)
