"""From the command's files and wishes to groups, rotation and timetable. Knows no database, no clock and no screen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from clubapp.engine import fairness as engine_fairness
from clubapp.engine import groups as engine_groups
from clubapp.engine import limits, words
from clubapp.engine import rotation as engine_rotation
from clubapp.engine import timetable as engine_timetable
from clubapp.engine.outcome import Outcome, Reason, Status
from clubapp.rotation.roster_files import InputError, Roster

WORK_S, CHANGE_S = 300, 60
KINDS = ("sex:f", "sex:m", "sex:x", "first_timer:yes", "first_timer:no")


@dataclass(frozen=True)
class Wish:
    """What was asked on the command line. None: the default holds."""

    on: date
    balance: tuple[str, ...]
    not_alone: tuple[str, ...] = ()
    groups: int | None = None
    rounds: int | None = None
    work_s: int | None = None
    change_s: int | None = None
    minutes: int | None = None
    age_gap: float | None = None
    max_hard_run: int | None = None
    seed: int = 0
    careful: bool = False

    @property
    def limit(self) -> limits.Limit:
        return limits.CAREFUL if self.careful else limits.DEFAULT


@dataclass(frozen=True)
class Plan:
    """What came out. groups: athlete ids by bib, in the order of the bibs. reasons: why there is nothing."""

    wish: Wish
    roster: Roster
    problem: engine_rotation.Problem
    status: Status
    groups: tuple[tuple[str, tuple[str, ...]], ...] = ()
    rotation: engine_rotation.Answer | None = None
    hours: engine_timetable.Answer | None = None
    fair: engine_fairness.Fairness | None = None
    bound: float = 0.0
    ends: tuple[engine_rotation.End, ...] = ()
    reasons: tuple[Reason, ...] = ()
    seconds: float = 0.0


def make(wish: Wish, roster: Roster, stations: tuple[words.Station, ...] | None) -> Plan:
    """Cut the groups, send them round the stations, and fit it all into the minutes. stations: None = as many as
    groups.
    """
    watch = limits.Stopwatch()
    count = wish.groups or engine_groups.suggest_group_count(len(roster.athletes), len(stations or ()), 0)
    stations = stations or numbered(count)
    problem = rotation_problem(wish, stations, count)
    cut = engine_groups.solve(groups_problem(wish, roster, count), limit=wish.limit, seed=wish.seed)
    nothing = Plan(wish, roster, problem, Status.IMPOSSIBLE)
    if cut.answer is None:
        return _told(nothing, cut.reasons, watch)
    turns = engine_rotation.solve(problem, limit=wish.limit, seed=wish.seed)
    if turns.answer is None:
        return _told(nothing, turns.reasons, watch)
    hours = engine_timetable.solve(timetable_problem(problem, turns.answer, wish))
    if hours.answer is None:
        return _told(nothing, hours.reasons, watch)
    balance = attributes(wish)
    return Plan(
        wish,
        roster,
        problem,
        status=worst(cut.status, turns.status),
        groups=tuple(sorted(_named(cut, wish, problem), key=lambda group: problem.groups.index(group[0]))),
        rotation=turns.answer,
        hours=hours.answer,
        fair=engine_fairness.report(roster.athletes, wish.on, balance, cut.answer.groups),
        bound=cut.bound,
        ends=engine_rotation.trade(problem, turns, limit=wish.limit, seed=wish.seed),
        seconds=watch.seconds,
    )


def _told(plan: Plan, reasons: tuple[Reason, ...], watch: limits.Stopwatch) -> Plan:
    return Plan(plan.wish, plan.roster, plan.problem, plan.status, reasons=reasons, seconds=watch.seconds)


def worst(*statuses: Status) -> Status:
    """What can be said of the whole."""
    order = list(Status)
    return max(statuses, key=order.index)


def numbered(count: int) -> tuple[words.Station, ...]:
    """Stations without a place, easy, for one group."""
    return tuple(words.Station(str(number)) for number in range(1, count + 1))


def attributes(wish: Wish) -> tuple[engine_fairness.Attribute, ...]:
    return tuple(engine_fairness.Attribute(name) for name in wish.balance)


def groups_problem(wish: Wish, roster: Roster, count: int) -> engine_groups.Problem:
    return engine_groups.Problem(
        athletes=roster.athletes,
        on=wish.on,
        groups=count,
        balance=attributes(wish),
        together=roster.together,
        apart=roster.apart,
        not_alone=wish.not_alone,
        within_years=wish.age_gap,
        names=roster.names,
    )


def rotation_problem(wish: Wish, stations: tuple[words.Station, ...], count: int) -> engine_rotation.Problem:
    return engine_rotation.Problem(
        groups=words.bib_names(count),
        stations=stations,
        rounds=len(stations) if wish.rounds is None else wish.rounds,
        max_hard_run=wish.max_hard_run,
    )


def timetable_problem(
    problem: engine_rotation.Problem, answer: engine_rotation.Answer, wish: Wish
) -> engine_timetable.Problem:
    """Work of five minutes and change-overs of one, unless said otherwise or fitted into minutes."""
    work_s = WORK_S if wish.work_s is None and wish.minutes is None else wish.work_s
    return engine_timetable.Problem(
        minutes=wish.minutes,
        rounds=problem.rounds,
        work_s=work_s,
        change_s=CHANGE_S if wish.change_s is None else wish.change_s,
        walks_m=longest_walks(problem, answer),
    )


def longest_walks(problem: engine_rotation.Problem, answer: engine_rotation.Answer) -> tuple[float, ...]:
    """For each change-over the metres of the group that has farthest to go. A group that rests stays where it was."""
    longest = [0] * (problem.rounds - 1)
    for group in problem.groups:
        for turn, (here, there) in enumerate(pairwise(_places(answer.path(group)))):
            longest[turn] = max(longest[turn], problem.walks.get((here or "", there or ""), 0))
    return tuple(millimetres / 1000 for millimetres in longest)


def _places(path: Sequence[str | None]) -> list[str | None]:
    """Where a group stands in each round, resting or not."""
    places: list[str | None] = []
    for where in path:
        places.append(where or (places[-1] if places else None))
    return places


def _named(
    cut: Outcome[engine_groups.Answer], wish: Wish, problem: engine_rotation.Problem
) -> list[tuple[str, tuple[str, ...]]]:
    """Groups with their bibs, which the seed draws: a colour says nothing on ability."""
    found = cut.answer.groups if cut.answer else ()
    order = engine_groups.name_order(len(found), wish.seed)
    return [(problem.groups[bib], group) for bib, group in zip(order, found, strict=True)]


def check(wish: Wish, roster: Roster) -> None:
    """Refuse figures that no plan can have."""
    for kind in wish.not_alone:
        if kind not in KINDS:
            raise InputError(f"--not-alone: “{kind}” is no kind; there are {', '.join(KINDS)}.")
    children = len(roster.athletes)
    if wish.groups is not None and wish.groups > children:
        raise InputError(f"--groups: {wish.groups} groups are more than the {children} children.")
