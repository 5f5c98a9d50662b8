"""The menu of a session: which activities as warm-up, stations, game and cool-down, and how many minutes each."""

from __future__ import annotations

import math

from clubapp.engine import limits
from clubapp.engine.cpsat import Proof
from clubapp.engine.limits import Limit, Stopwatch
from clubapp.engine.menu_cost import score
from clubapp.engine.menu_model import NO_TIME, any_menu, best, clash, no_card
from clubapp.engine.menu_next import Choice, choices, instead, next_best
from clubapp.engine.menu_plain import plain
from clubapp.engine.menu_problem import EASY, HARD, STEADY, Answer, Card, Ground, Problem, Role, SetUp, work_s
from clubapp.engine.menu_rules import violations
from clubapp.engine.menu_words import why
from clubapp.engine.outcome import Outcome, Status

__all__ = [
    "EASY",
    "HARD",
    "STEADY",
    "Answer",
    "Card",
    "Choice",
    "Ground",
    "Problem",
    "Role",
    "SetUp",
    "choices",
    "instead",
    "next_best",
    "plain",
    "score",
    "solve",
    "violations",
    "why",
    "work_s",
]


def solve(
    problem: Problem, *, limit: Limit = limits.QUICK, seed: int = 0, start: Answer | None = None
) -> Outcome[Answer]:
    """The cheapest menu that keeps every rule, or a smallest set of rules that clash.

    The plain way's menu, or a better one to start from, is handed to the solver; nothing worse comes back.
    """
    watch = Stopwatch()
    if nothing := no_card(problem):
        return Outcome(None, Status.IMPOSSIBLE, math.inf, math.inf, watch.seconds, nothing)
    begun = [one for one in (start, plain(problem)) if one and not violations(problem, one)]
    simple = min(begun, key=lambda one: score(problem, one), default=None)
    found = best(problem, limit, seed, simple)
    if found is None:
        return _without(problem, seed, simple, watch)
    first, run = found
    answer = min([first, *begun], key=lambda one: score(problem, one))
    worth = score(problem, answer)
    status = Status.BEST if run.proof is Proof.BEST else Status.GOOD
    return Outcome(answer, status, worth, min(worth, math.ceil(run.bound - 1e-6)), watch.seconds)


def _without(problem: Problem, seed: int, simple: Answer | None, watch: Stopwatch) -> Outcome[Answer]:
    """There is nothing, or the limit was too short: then any menu that keeps the rules will do."""
    answer = simple or any_menu(problem, seed)
    if answer is None:
        reasons = clash(problem, seed) or (NO_TIME,)
        return Outcome(None, Status.IMPOSSIBLE, math.inf, math.inf, watch.seconds, reasons)
    return Outcome(answer, Status.SIMPLE, score(problem, answer), 0.0, watch.seconds)
