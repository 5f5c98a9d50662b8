"""Chasing games: who plays together, who chases in which turn, and who touched whom."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date
from functools import partial
from typing import Any
from uuid import UUID

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from clubapp.engine import chase as engine_chase
from clubapp.engine.outcome import Outcome
from clubapp.games import bridge, chasing_shown, queries
from clubapp.games.chasing_bridge import answer_of, child_of, problem_of, stored_answer
from clubapp.games.chasing_tally import BACK, TOUCH, begun, touches, turns_in
from clubapp.games.likely import best_known, likely
from clubapp.games.present import Present
from clubapp.games.state import GameView, Kind, Made, Said, Task
from clubapp.games.trouble import RefusedError, WayOut

Chase = engine_chase.Kind
CODES = {Chase.FREEZE: "freeze", Chase.CHAIN: "chain", Chase.TEAM: "halves", Chase.LAST: "last"}
DAYS_A_YEAR = 365.25


def defaults(present: Present) -> dict[str, Any]:
    """Eight minutes of turns with a breath after each; as many chasers as it takes; back in after a minute."""
    return {
        "minutes": 8,
        "spell_s": 45,
        "rest_s": 15,
        "chasers": None,
        "gap": engine_chase.GAP_YEARS,
        "back": True,
        "task": _("ten hops on each leg"),
    }


def make(kind: Chase, task: Task) -> Made:
    wishes, session = task.wishes, task.present.session
    found = likely(session, task.children, best_known(session, task.children))
    spell = wishes["spell_s"]
    stored = {
        **bridge.stored_likely(found, task.children),
        "kind": kind.value,
        "chasers": wishes.get("chasers") or None,
        "seconds": max(60 * wishes["minutes"], spell),
        "spell_s": spell,
        "rest_s": wishes["rest_s"],
        "gap_years": wishes["gap"],
        "back_s": engine_chase.BACK_S if wishes.get("back", True) else None,
        "years": _years(task.present, task.children),
        "easy": sorted(str(child) for child in task.children if child in task.present.easy),
        "chased": _chased(task),
    }
    problem = problem_of(stored, map(str, task.children))
    outcome = engine_chase.solve(problem, seed=task.seed)
    if outcome.answer is None:
        raise RefusedError(" ".join(f"{why.text} {why.way_out}" for why in outcome.reasons), _wider(problem, outcome))
    notes = [f"{why.text} {why.way_out}" for why in outcome.reasons]
    proof = {"score": outcome.score, "bound": outcome.bound, "status": str(outcome.status), "notes": notes}
    return Made(stored, stored_answer(outcome.answer), proof)


def _wider(problem: engine_chase.Problem, outcome: Outcome[engine_chase.Answer]) -> WayOut | None:
    """Where too few would be left over: the gap that takes them in, for an adult to say yes to."""
    if not any(why.code == "gap" for why in outcome.reasons):
        return None
    gap = f"{engine_chase.gap_needed(problem):g}"
    return WayOut("gap", gap, _("Let them be up to %(gap)s years apart") % {"gap": gap})


def _years(present: Present, children: Iterable[UUID]) -> dict[str, float]:
    """Ages on the day of the session, of whoever's is known."""
    chosen, on = set(children), present.session.date
    return {str(one.pk): _age(one.born, on) for one in present.children if one.pk in chosen and one.born}


def _age(born: date, on: date) -> float:
    return round((on - born).days / DAYS_A_YEAR, 3)


def _chased(task: Task) -> dict[str, int]:
    """How often each of these children was to chase in the squad's games before this one, today's too."""
    count, session = Counter[str](), task.present.session
    for _day, view in (row for code in CODES.values() for row in queries.played(session, code)):
        for field in view.draw.answer["fields"]:
            count.update(child for spell in field["spells"][: begun(view)] for child in spell)
    return {child: count[child] for child in map(str, task.children) if count[child]}


def fit(view: GameView, task: Task, child: UUID) -> Made:
    """Into the part of the field whose ages fit, and into a turn to come."""
    found = likely(task.present.session, [child], view.draw.problem["test"])
    one = str(child)
    old = problem_of(view.draw.problem, map(str, view.draw.children))
    stored = _stays(view, task)
    stored["likely"] = {**stored["likely"], **bridge.stored_likely(found, [child])["likely"]}
    stored["years"] = {**stored["years"], **_years(task.present, [child])}
    stored["easy"] = sorted({*stored["easy"], *([one] if child in task.present.easy else [])})
    _wider, answer = engine_chase.fit_in(old, answer_of(view.draw.answer), child_of(stored, one), begun(view))
    joined = next(field for field in answer.fields if one in field.ids)
    years = [stored["years"][other] for other in joined.ids if other in stored["years"]]
    if one in stored["years"] and max(years) - min(years) > stored["gap_years"]:
        raise RefusedError(_("In every part of the field somebody is too far from that child's age: make a new game."))
    return Made(stored, stored_answer(answer), {"notes": view.draw.proof.get("notes", [])})


def out(view: GameView, task: Task, child: UUID) -> Made:
    """Out of the field, and out of the turns to come."""
    problem = problem_of(view.draw.problem, map(str, view.draw.children))
    answer = engine_chase.take_out(problem, answer_of(view.draw.answer), str(child), begun(view))
    return Made(_stays(view, task), stored_answer(answer), {"notes": view.draw.proof.get("notes", [])})


def _stays(view: GameView, task: Task) -> dict[str, Any]:
    """The problem, of those who are still in it."""
    ids, problem = {str(child) for child in task.children}, view.draw.problem
    kept = {name: {one: row for one, row in problem[name].items() if one in ids} for name in ("likely", "years")}
    easy = [one for one in problem["easy"] if one in ids]
    return {**problem, **kept, "easy": easy, "children": [str(child) for child in task.children]}


def take(view: GameView, said: Said) -> dict[str, Any]:
    """A touch, or a touch taken back. A tap that waited for a network counts, whatever was drawn meanwhile."""
    if said.what == BACK:
        of = said.data.get("of", "")
        if of not in {str(one.op_id) for one in touches(view)}:
            raise RefusedError(_("That touch was taken back already."))
        return {"of": of}
    if said.what != TOUCH:
        raise RefusedError(_("Tap who was touched."))
    who, whom = said.data.get("who", ""), said.data.get("whom", "")
    known = set(map(str, view.children))
    if whom not in known or (who and who not in known) or who == whom:
        raise RefusedError(_("Somebody of them is not in this game: look again."))
    if not 1 <= said.part <= turns_in(view):
        raise RefusedError(_("There is no such turn: look again."))
    return {"who": who, "whom": whom}


def _kind(chase: Chase, name: Promise, about: Promise) -> Kind:
    return Kind(
        code=CODES[chase],
        name=name,
        about=about,
        template="games/chasing.html",
        defaults=defaults,
        make=partial(make, chase),
        show=chasing_shown.show,
        take=take,
        fit=fit,
        out=out,
        teams=chasing_shown.teams,
        own=chasing_shown.own,
        standing=chasing_shown.standing,
        turns=chasing_shown.turns,
        tally=chasing_shown.tally,
        least=3,
    )


FREEZE = _kind(Chase.FREEZE, _l("Freeze"), _l("Who is touched stands still until another child sets them free."))
CHAIN = _kind(Chase.CHAIN, _l("Chain"), _l("Who is touched takes a chaser's hand and chases along."))
HALVES = _kind(Chase.TEAM, _l("Half against half"), _l("One half chases, then the other; touches are counted."))
LAST = _kind(Chase.LAST, _l("Last one standing"), _l("Who is touched is out, and back within a minute by a task."))
CHASING = (FREEZE, CHAIN, HALVES, LAST)
