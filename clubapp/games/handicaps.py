"""Handicap races: the slower start earlier, or nearer to the finish, so that everybody may win."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from math import log
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from clubapp.engine import handicap as engine_handicap
from clubapp.games import bridge, carried, handicaps_shown, handicaps_watch
from clubapp.games.likely import Likely, best_known, likely, test_of, tests
from clubapp.games.present import Present
from clubapp.games.state import GameView, Kind, Made, Said, Task
from clubapp.games.trouble import RefusedError
from clubapp.results.models import SPEED
from clubapp.results.starters import Starter

FINISH = carried.FINISH
QUARTER_METRE_MM = 250  # half metres leave chances more than twice apart over 20 m
TENTH_METRE_MM = 100  # as fine as a tape is read; only where quarters leave them more than twice apart
SHORT_M = 100  # below this a whole second is more than children differ by: our rule of thumb
How, Aim, Rule = engine_handicap.How, engine_handicap.Aim, engine_handicap.Rule
YARD_MM = Decimal("914.4")


def length_mm(test: Starter) -> int:
    """Of a straight run; 0 where nobody wrote it down."""
    return int(Decimal(test.distance or 0) * (YARD_MM if test.distance_unit == "yd" else 1000))


def defaults(present: Present) -> dict[str, Any]:
    """Over the straight run that most have a time on; in metres where it is short."""
    club = present.session.club
    straight = [test.code for test in tests(club) if length_mm(test)]
    known = (best_known(present.session, present.ids, among) for among in (straight, None))
    code = next((code for code in known if code), SPEED)
    test = test_of(club, code)
    metres = test is not None and 0 < length_mm(test) < SHORT_M * 1000
    return {
        "test": code if test else "",
        "how": str(How.METRES if metres else How.SECONDS),
        "aim": str(Aim.CHANCES),
        "rule": str(Rule.FILTER),
    }


def make(task: Task) -> Made:
    problem = _problem(task, task.children)
    return _solved(problem)


def _problem(task: Task, children: Iterable[UUID], but: UUID | None = None) -> dict[str, Any]:
    """What the marks are made from: the last race where there was one, else timed tests, else age."""
    wishes, ids = task.wishes, list(children)
    test = test_of(task.present.session.club, wishes["test"])
    if test is None:
        raise RefusedError(_("Choose what is run."))
    how = How(wishes["how"])
    found = likely(task.present.session, ids, wishes["test"])
    carry = carried.carried(task.present.session, ids, wishes["test"], but)
    stored = bridge.stored_likely(found, ids)
    shift = _drawn_out(task, test, found, how, [child for child in map(str, ids) if child not in carry])
    for child, row in stored["likely"].items():
        row[0] += shift
        if child in carry:
            stored["likely"][child] = [carry[child].log_mean, carry[child].log_sd, carry[child].level_sd]
    return {
        "likely": stored["likely"],
        "new": [child for child in stored["new"] if child not in carry],
        "carried": sorted(carry),
        "from": found.test,
        "test": wishes["test"],
        **{name: wishes[name] for name in ("how", "aim", "rule")},
        "step": engine_handicap.SECOND_MS if how is How.SECONDS else QUARTER_METRE_MM,
        "distance_mm": _on_course(test, how),
    }


def _on_course(test: Starter, how: engine_handicap.How) -> int:
    found = length_mm(test)
    if how is How.METRES and found < 2 * QUARTER_METRE_MM:
        raise RefusedError(_("Nobody wrote down how long “%(test)s” is: start in seconds.") % {"test": test.name})
    return found


def _drawn_out(task: Task, test: Starter, found: Likely, how: engine_handicap.How, fresh: list[str]) -> float:
    """On the logarithm: times of another course made longer by its length. Metres need only how children differ."""
    if how is How.METRES or not fresh or found.test == test.code:
        return 0.0
    other = test_of(task.present.session.club, found.test)
    if other is None or not length_mm(other) or not length_mm(test):
        raise RefusedError(_("Nobody has been timed over “%(test)s” yet: start in metres.") % {"test": test.name})
    return log(length_mm(test) / length_mm(other))


def _solved(problem: dict[str, Any]) -> Made:
    outcome = engine_handicap.solve(bridge.handicap_problem(problem, problem["likely"]))
    if problem["step"] == QUARTER_METRE_MM and any(one.code == "step" for one in outcome.reasons):
        return _solved({**problem, "step": TENTH_METRE_MM})
    assert outcome.answer is not None  # there are always marks
    proof = {"score": outcome.score, "bound": outcome.bound, "status": str(outcome.status)}
    return Made(problem, {"marks": outcome.answer.of}, {**proof, "notes": [one.code for one in outcome.reasons]})


def fit(view: GameView, task: Task, child: UUID) -> Made:
    """One more mark; nobody else's moves."""
    if view.last(FINISH, view.draw.round, 1):
        raise RefusedError(_("This race has run: the child can be in the next one."))
    more, old = _problem(task, [child], view.id), view.draw.problem
    problem = {
        **old,
        "children": [str(one) for one in task.children],
        "likely": {**_of(old, task), **more["likely"]},
        "new": sorted({*old["new"], *more["new"]}),
        "carried": sorted({*old["carried"], *more["carried"]}),
    }
    asked = bridge.handicap_problem(problem, problem["likely"])
    answer = engine_handicap.joined(asked, bridge.marks(view.draw.answer), str(child))
    return Made(problem, {"marks": answer.of}, dict(view.draw.proof))


def out(view: GameView, task: Task, child: UUID) -> Made:
    """Without a mark; the others keep theirs."""
    if view.last(FINISH, view.draw.round, 1):
        raise RefusedError(_("This race has run: write there what happened."))
    old = view.draw.problem
    kept = {name: [one for one in old[name] if one != str(child)] for name in ("new", "carried")}
    problem = {**old, **kept, "children": [str(one) for one in task.children], "likely": _of(old, task)}
    asked = bridge.handicap_problem(problem, problem["likely"])
    answer = engine_handicap.without(asked, bridge.marks(view.draw.answer), str(child))
    return Made(problem, {"marks": answer.of}, dict(view.draw.proof))


def _of(problem: Mapping[str, Any], task: Task) -> dict[str, Any]:
    ids = {str(one) for one in task.children}
    return {child: row for child, row in problem["likely"].items() if child in ids}


def next_race(view: GameView, task: Task) -> Made:
    """The same children once more, with marks that know how this race came in."""
    if view.last(FINISH, view.draw.round, 1) is None:
        raise RefusedError(_("This race has not been entered yet."))
    after, ran = carried.after_race(view, view.draw), carried.timed_in(view, view.draw)
    problem = {
        **view.draw.problem,
        "likely": {child: [one.log_mean, one.log_sd, one.level_sd] for child, one in after.items()},
        "new": [child for child in view.draw.problem["new"] if child not in ran],
        "carried": sorted({*view.draw.problem["carried"], *ran}),
    }
    return _solved(problem)


def take(view: GameView, said: Said) -> dict[str, Any]:
    """Places, what the race's clock showed, and what else happened; or one time of a stop-watch."""
    if said.what == handicaps_watch.CLOCK:
        return handicaps_watch.taken(view, said)
    if said.what != FINISH or said.part != 1 or said.round != view.draw.round:
        raise RefusedError(_("The next race has been drawn: this one stays as it is."))
    parts: dict[str, Any] = {name: said.data.get(name, {}) for name in ("places", "times", "states")}
    ids = set(view.draw.answer["marks"])
    if any(set(part) - ids for part in parts.values()):
        raise RefusedError(_("Somebody is not in this race any more: look again."))
    if not any(parts.values()):
        raise RefusedError(_("Tap the children as they come in, or write what the clock shows."))
    if any(carried.own_s(view.draw, child, ms) <= 0 for child, ms in parts["times"].items()):
        raise RefusedError(_("A finish stands before that child's own start: write what the clock of the race showed."))
    return parts


HANDICAPS = Kind(
    code="handicaps",
    name=_l("Handicap race"),
    about=_l("The slower start earlier or nearer, so that everybody may win."),
    template="games/handicaps.html",
    defaults=defaults,
    make=make,
    show=handicaps_shown.show,
    take=take,
    fit=fit,
    out=out,
    next=next_race,
    teams=handicaps_shown.teams,
    own=handicaps_shown.own,
    entering=handicaps_shown.entering,
    standing=handicaps_shown.standing,
)
