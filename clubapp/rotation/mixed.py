"""The command line's `--mix`: new groups in every round, with the other end of the trade beside them."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import dataclass
from typing import Any

from clubapp.engine import groups as engine_groups
from clubapp.engine import limits, words
from clubapp.engine import mixing as engine_mixing
from clubapp.engine.outcome import Outcome, Status
from clubapp.people.csvfile import defused
from clubapp.rotation.commandline import Wish, attributes
from clubapp.rotation.roster_files import Roster


@dataclass(frozen=True)
class Mix:
    """best: nobody meets twice, then fair. other: fair in every round, then few meetings twice."""

    roster: Roster
    problem: engine_mixing.Problem
    bibs: tuple[str, ...]
    best: Outcome[engine_mixing.Answer]
    other: Outcome[engine_mixing.Answer]
    seconds: float

    @property
    def status(self) -> Status:
        return self.best.status


def make(wish: Wish, roster: Roster) -> Mix:
    """As many rounds as groups, unless said otherwise. Stations do not matter here: all play in one place."""
    watch = limits.Stopwatch()
    count = wish.groups or engine_groups.suggest_group_count(len(roster.athletes), 0, 0)
    problem = engine_mixing.Problem(
        athletes=roster.athletes,
        on=wish.on,
        groups=count,
        rounds=wish.rounds or count,
        balance=attributes(wish),
        together=roster.together,
        apart=roster.apart,
        names=roster.names,
    )
    names = words.bib_names(count)
    bibs = tuple(names[at] for at in engine_groups.name_order(count, wish.seed))
    best, other = engine_mixing.trade(problem, limit=wish.limit, seed=wish.seed)
    return Mix(roster, problem, bibs, best, other, watch.seconds)


def as_json(mix: Mix) -> str:
    body = {
        "status": str(mix.status),
        "reasons": [f"{reason.text} {reason.way_out}" for reason in mix.best.reasons],
        **_end(mix, mix.best),
        "fair_first": _end(mix, mix.other),
        "seconds": round(mix.seconds, 3),
    }
    return json.dumps(body, ensure_ascii=False, indent=2)


def _end(mix: Mix, outcome: Outcome[engine_mixing.Answer]) -> dict[str, Any]:
    """One end of the trade; nothing where the rules clash."""
    if outcome.answer is None:
        return {"rounds": [], "met": None}
    found = engine_mixing.report(mix.problem, outcome.answer)
    rounds = [
        {
            "round": turn,
            "groups": [{"name": bib, "athletes": list(group)} for bib, group in _groups(mix, groups)],
            "fairness": fair,
        }
        for turn, (groups, fair) in enumerate(zip(outcome.answer.rounds, found.fairness, strict=True), start=1)
    ]
    return {"rounds": rounds, "met": {"least": found.least, "most": found.most, "repeats": found.repeats}}


def _groups(mix: Mix, groups: tuple[tuple[str, ...], ...]) -> list[tuple[str, tuple[str, ...]]]:
    """Groups in the order of the bibs."""
    order = words.bib_names(len(groups))
    return sorted(zip(mix.bibs, groups, strict=True), key=lambda group: order.index(group[0]))


def as_csv(mix: Mix) -> str:
    """One row a child: id, name, and its bib in each round."""
    text = io.StringIO(newline="")
    lines = csv.writer(text, lineterminator="\n")
    rounds = mix.best.answer.rounds if mix.best.answer else ()
    lines.writerow(["id", "name", *(f"round_{turn}" for turn in range(1, len(rounds) + 1))])
    bib = [{child: name for name, group in _groups(mix, groups) for child in group} for groups in rounds]
    for child in mix.problem.ids:
        row = [child, mix.roster.names[child], *(turn[child] for turn in bib)]
        lines.writerow([defused(cell) for cell in row])
    return text.getvalue().rstrip("\n")


def as_text(mix: Mix) -> str:
    if mix.best.answer is None:
        rules = [f"  - {reason.text} {reason.way_out}" for reason in mix.best.reasons]
        return "\n".join(["These wishes cannot all be had together:", *rules])
    parts = []
    for turn, groups in enumerate(mix.best.answer.rounds, start=1):
        rows = [f"  {bib}: {', '.join(mix.roster.names[c] for c in group)}" for bib, group in _groups(mix, groups)]
        parts.append("\n".join([f"Round {turn}", *rows]))
    return "\n\n".join([*parts, "\n".join([_said(mix, mix.best), f"Fair first instead: {_said(mix, mix.other)}"])])


def _said(mix: Mix, outcome: Outcome[engine_mixing.Answer]) -> str:
    """What a child sees of the others, and how fair it is."""
    if outcome.answer is None:
        return "nothing was found."
    found = engine_mixing.report(mix.problem, outcome.answer)
    return (
        f"each child meets {found.least} to {found.most} others, {found.repeats} meetings happen again; "
        f"the least fair round has {max(found.fairness):.3f} (0 is perfect)."
    )
