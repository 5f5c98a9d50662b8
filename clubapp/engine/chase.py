"""Chasing games: who plays together, who chases when, how large the area is, and when a child who is out comes back."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from itertools import pairwise

from clubapp.engine import chase_fields as fielding
from clubapp.engine import chase_spells as spelling
from clubapp.engine import limits
from clubapp.engine.chase_fields import gap_needed
from clubapp.engine.chase_problem import (
    BACK_S,
    GAP_YEARS,
    LEAST_SHARE,
    Answer,
    Area,
    Child,
    Field,
    Kind,
    Problem,
    area,
    due_back,
)
from clubapp.engine.limits import Limit, Stopwatch
from clubapp.engine.outcome import Outcome, Reason, Status

__all__ = [
    "BACK_S",
    "GAP_YEARS",
    "Answer",
    "Area",
    "Child",
    "Field",
    "Kind",
    "Problem",
    "area",
    "due_back",
    "fit_in",
    "gap_needed",
    "score",
    "solve",
    "take_out",
    "violations",
]

CLOSE = 1e-9


def solve(
    problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0, start: Answer | None = None
) -> Outcome[Answer]:
    """Fields by age and spells by speed. limit and start: unused, the search is short and counted."""
    watch = Stopwatch()
    parts = fielding.fields(problem)
    if parts is None:
        return Outcome(None, Status.IMPOSSIBLE, 0.0, 0.0, watch.seconds, _too_small(problem))
    lands = [spelling.ground(problem, part) for part in parts]
    if any(not land.able for land in lands):
        text = "In one part of the field everybody is to go easy, and nobody may chase."
        why = Reason("easy", text, (), "Let an adult chase.")
        return Outcome(None, Status.IMPOSSIBLE, 0.0, 0.0, watch.seconds, (why,))
    lot = random.Random(f"chase {seed}")
    answer = Answer(tuple(_field(problem, land, lot) for land in lands), problem.back_s if problem.eliminates else None)
    worth = score(problem, answer)
    bound = max(_bound(problem, land) for land in lands)
    status = Status.BEST if worth <= bound + CLOSE else Status.GOOD
    return Outcome(answer, status, worth, min(bound, worth), watch.seconds, _hopeless(problem, worth))


def _field(problem: Problem, land: spelling.Ground, lot: random.Random) -> Field:
    at_a_time = spelling.chasers(problem, land)
    count = spelling.count_spells(problem, len(land.able), at_a_time)
    spells = spelling.draw(problem, land, (count, at_a_time), lot)
    return Field(tuple(sorted(land.ids)), tuple(tuple(sorted(land.ids[at] for at in spell)) for spell in spells))


def _bound(problem: Problem, land: spelling.Ground) -> float:
    """No score is smaller; 0 where not everybody gets a turn."""
    at_a_time = spelling.chasers(problem, land)
    everybody = spelling.count_spells(problem, len(land.able), at_a_time) * at_a_time >= len(land.able)
    return 1 - spelling.bound(land, at_a_time) if everybody else 0.0


def _too_small(problem: Problem) -> tuple[Reason, ...]:
    text = f"Cut by age at {problem.gap_years:g} years, one part would have fewer than {fielding.LEAST} children."
    return (Reason("gap", text, (), f"Let the gap be {gap_needed(problem):g} years."),)


def _hopeless(problem: Problem, worth: float) -> tuple[Reason, ...]:
    """Said where some set of chasers is quicker than too few of the others."""
    if 1 - worth >= LEAST_SHARE:
        return ()
    text = "Some chasers would outrun less than a third of the others."
    return (Reason("hopeless", text, (), "Let one more chase at a time, or make the area smaller."),)


def score(problem: Problem, answer: Answer) -> float:
    """1 less the least share, over all spells, of others whom the chasers are likely to outrun; 0 is perfect."""
    least = 1.0
    for field in answer.fields:
        land = spelling.ground(problem, field.ids)
        place = {child: at for at, child in enumerate(land.ids)}
        least = min(least, *(land.share([place[child] for child in spell]) for spell in field.spells), 1.0)
    return 1 - least


def violations(problem: Problem, answer: Answer, late: frozenset[str] = frozenset()) -> list[str]:
    """What is wrong, in words; empty when everything is kept. late: who came later and cannot have chased as often."""
    of = problem.of
    if Counter(child for field in answer.fields for child in field.ids) != Counter(list(of)):
        return ["Not everybody is in exactly one field."]
    found = []
    for field in answer.fields:
        if not fielding.ages_ok(problem, [of[child] for child in field.ids]):
            found.append("Ages in one field are too far apart.")
        found += _wrong_spells(problem, field, late)
    if answer.back_s != (problem.back_s if problem.eliminates else None):
        found.append("Coming back is not as asked.")
    return found


def _wrong_spells(problem: Problem, field: Field, late: frozenset[str]) -> list[str]:
    of, found = problem.of, []
    chasers = {child for spell in field.spells for child in spell}
    if len(field.spells) > problem.most_spells or not field.spells:
        found.append("The spells do not fit into the time.")
    if chasers - set(field.ids) or any(len(set(spell)) < len(spell) or not spell for spell in field.spells):
        found.append("Chasers of a spell are not different children of the field.")
    if any(of[child].easy for child in chasers if child in of):
        found.append("A child who goes easy is a chaser.")
    able = [child for child in field.ids if not of[child].easy]
    counts = [field.turns[child] for child in able if child not in late]
    if max(counts) - min(counts) > 1 and not late:
        found.append("Not everybody chases equally often.")
    if any(set(one) & set(two) for one, two in pairwise(field.spells)) and 2 * len(field.spells[0]) <= len(able):
        found.append("Somebody chases twice without a rest.")
    return found


def fit_in(problem: Problem, answer: Answer, child: Child, done: int) -> tuple[Problem, Answer]:
    """A late child joins: the field whose ages fit and, once, a spell to come. Spells up to `done` stay as they are.

    The place is taken from a child who would chase as often as anybody, where it rests the chasers and leaves the spell
    its speed; nobody else is moved. A child who goes easy only joins the field.
    """
    wider = replace(problem, children=(*problem.children, child))
    of = wider.of
    fits = [at for at, f in enumerate(answer.fields) if fielding.ages_ok(wider, [of[c] for c in (*f.ids, child.id)])]
    joined = min(fits or range(len(answer.fields)), key=lambda at: (len(answer.fields[at].ids), at))
    field = answer.fields[joined]
    spells = field.spells if child.easy else _with_turn(wider, field, child.id, done)
    fields = list(answer.fields)
    fields[joined] = Field(tuple(sorted((*field.ids, child.id))), spells)
    return wider, replace(answer, fields=tuple(fields))


def _with_turn(problem: Problem, field: Field, child: str, done: int) -> tuple[tuple[str, ...], ...]:
    """The spells with the late child in one of those to come; unchanged where none is left."""
    land = spelling.ground(problem, (*field.ids, child))
    place, had = {one: at for at, one in enumerate(land.ids)}, field.turns
    ways = []
    for at in range(done, len(field.spells)):
        for other in field.spells[at]:
            changed = tuple(sorted({*field.spells[at], child} - {other}))
            ways.append((-had[other], -land.share([place[one] for one in changed]), at, changed))
    if not ways:
        return field.spells
    _, _, at, changed = min(ways)
    return (*field.spells[:at], changed, *field.spells[at + 1 :])


def take_out(problem: Problem, answer: Answer, child: str, done: int) -> Answer:
    """Without a child who leaves, or who is to go easy from now on. Spells up to `done` stay as they are.

    In spells to come the place goes to whoever of the field chases least and has a rest before and after, the quickest
    set of equals; where nobody can, the others chase alone. A spell may be left without anybody: an adult chases.
    """
    fields = []
    for field in answer.fields:
        ids = tuple(one for one in field.ids if one != child)
        spells = list(field.spells)
        for at in range(done, len(spells)):
            if child in spells[at]:
                spells[at] = _without(problem, Field(ids, tuple(spells)), child, at)
        fields.append(Field(ids, tuple(spells)))
    return replace(answer, fields=tuple(fields))


def _without(problem: Problem, field: Field, child: str, at: int) -> tuple[str, ...]:
    rest, had, of = tuple(one for one in field.spells[at] if one != child), field.turns, problem.of
    near = {one for spell in field.spells[max(0, at - 1) : at + 2] for one in spell}
    able = [one for one in field.ids if not of[one].easy and one not in near]
    if not able:
        return rest
    land = spelling.ground(problem, field.ids)
    place = {one: number for number, one in enumerate(land.ids)}
    ways = [(had[one], -land.share([place[other] for other in (*rest, one)]), one) for one in able]
    return tuple(sorted((*rest, min(ways)[2])))
