"""Planning: a session suggested from the library, against taking part by part what fits first; and its field plan."""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial

from clubapp.desk.bench import fields
from clubapp.desk.bench.effort import Effort, middle, timed
from clubapp.desk.bench.rows import Row
from clubapp.engine import menu
from clubapp.engine.load import UNDER_TENS
from clubapp.engine.outcome import Reason
from clubapp.planning import bridge
from clubapp.planning.catalogue import Listed
from clubapp.planning.library.card import Aim
from clubapp.planning.library.shelf import standard

BAG = {"cones": 60, "coloured cones": 12, "balls": 16, "flat markers": 24, "hoops": 12, "beanbags": 24, "bibs": 24}


def rows(effort: Effort) -> Iterator[Row]:
    """Each row as soon as it is measured."""
    yield menus(effort)
    yield fields.row(effort)


def asked(seed: int) -> menu.Problem:
    """24 children of 7 to 15 at six stations, every aim; a third of the cards starred, some played lately, by lot."""
    lot = random.Random(f"plan {seed}")
    listed = [Listed(code, card, starred=lot.random() < 1 / 3) for code, card in standard().items()]
    cards = tuple(bridge.card_of(one, recent=lot.random() < 1 / 8) for one in listed)
    return menu.Problem(
        cards=cards,
        aims=tuple(map(str, Aim)),
        children=24,
        youngest=7,
        oldest=15,
        minutes=60,
        stations=6,
        adults=6,
        ground=menu.Ground(60, 40),
        kit=BAG,
        most_contacts=UNDER_TENS[1],
    )


def without(problem: menu.Problem, reasons: Iterable[Reason]) -> Iterator[menu.Problem]:
    """The problem without one of the rules that are said to clash, as the page offers it at a tap."""
    for reason in reasons:
        if reason.code == "fresh":
            yield replace(problem, repeats=True)
        elif reason.code == "aim":
            yield replace(problem, aims=tuple(aim for aim in problem.aims if aim not in reason.about))
        elif reason.code in ("adults", "space", "minutes", "few"):
            yield replace(problem, stations=problem.stations - 1)


def menus(effort: Effort) -> Row:
    """The first solve also brings the solver into memory, which is not the menu's time."""
    menu.solve(asked(0))
    found, bounds, plain, seconds, best, helped = [], [], [], [], 0, 0
    for seed in effort.seeds:
        problem = asked(seed)
        done, took = timed(partial(menu.solve, problem, seed=seed))
        if done.answer is None:
            helped += any(menu.solve(one, seed=seed).answer is not None for one in without(problem, done.reasons))
            continue
        assert menu.violations(problem, done.answer) == []
        simple = menu.plain(problem)
        plain.append(menu.score(problem, simple) if simple else math.inf)
        found.append(done.score)
        bounds.append(done.bound)
        seconds.append(took)
        best += done.score <= done.bound
    figures: dict[str, float | int | str] = {
        "instances": len(found),
        "proven": best,
        "impossible": len(effort.seeds) - len(found),
        "of_these_one_tap_helps": helped,
        "cost_median": middle(found),
    }
    figures |= {"bound_median": middle(bounds), "plain_cost_median": middle(plain)}
    figures |= {"seconds_median": middle(seconds), "seconds_worst": max(seconds)}
    return Row(f"menu 24 children, {len(standard())} cards, 6 stations", "the first that fits, part by part", figures)
