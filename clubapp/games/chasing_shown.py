"""Chasing games for the page: who chases in which turn, the room to play in, and sums of touches."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clubapp.engine import chase as engine_chase
from clubapp.games.chasing_tally import begun, touches, turns_in
from clubapp.games.present import Present
from clubapp.games.state import GameView, Viewer

__all__ = ["begun", "own", "show", "standing", "tally", "teams", "turns", "turns_in"]

Chase = engine_chase.Kind
OLDEST = 15.0  # years, where nobody's age is known: rather too much room than too little


def show(view: GameView, present: Present, viewer: Viewer) -> dict[str, Any]:
    """No sum of a single child: this page is kept on phones. One set of chasers may be one child."""
    problem, fields = view.draw.problem, view.draw.answer["fields"]
    return {
        "rule": rule_words(view),
        "plan": plan_words(view),
        "fields": [_field(view, present, at) for at in range(len(fields))],
        "gap": _("Cut at an age gap above %(gap)g years: our rule of thumb, and yours to change.")
        % {"gap": problem["gap_years"]}
        if len(fields) > 1
        else "",
        "notes": [*view.draw.proof.get("notes", []), *(_changed(view, present) if viewer.leads else [])],
        "totals": totals(view),
        "clock": view.state in ("ready", "running"),
    }


def rule_words(view: GameView) -> str:
    """How it is played, as it is said to the children."""
    match Chase(view.draw.problem["kind"]):
        case Chase.FREEZE:
            return _(
                "Who is touched stands still, arms out. A runner who goes by under an arm sets them free. New chasers, "
                "new turn: everybody is free."
            )
        case Chase.CHAIN:
            return _(
                "Who is touched takes a chaser's hand and chases along; a chain of four becomes two of two. "
                "New chasers, new turn: everybody is free."
            )
        case Chase.TEAM:
            return _("One half chases for a turn and counts its touches, then the other half does. Nobody is out.")
        case Chase.LAST:
            return _out_words(view)


def _out_words(view: GameView) -> str:
    seconds, task = view.draw.answer["back_s"], view.wishes.get("task") or _("a task")
    if seconds is None:
        return _("Who is touched is out until the turn is over. Coming back by a task is switched off.")
    words = _("Who is touched goes to the edge and does %(task)s, then plays on: after %(s)d s at the latest.")
    return words % {"task": task, "s": seconds}


def plan_words(view: GameView) -> str:
    problem, count = view.draw.problem, turns_in(view)
    whole = count * problem["spell_s"] + (count - 1) * problem["rest_s"]
    words = ngettext(
        "%(n)d turn of %(spell)d s: %(whole)s in all.",
        "%(n)d turns of %(spell)d s with %(rest)d s to breathe between them: %(whole)s in all.",
        count,
    )
    clock = f"{whole // 60}:{whole % 60:02}"
    return words % {"n": count, "spell": problem["spell_s"], "rest": problem["rest_s"], "whole": clock}


def _field(view: GameView, present: Present, at: int) -> dict[str, Any]:
    field = view.draw.answer["fields"][at]
    years = [view.draw.problem["years"][child] for child in field["ids"] if child in view.draw.problem["years"]]
    area = engine_chase.area(len(field["ids"]), max(years, default=OLDEST))
    rows = [
        {"number": number, "names": _names(present, chasing(view, present, spell))}
        for number, spell in enumerate(field["spells"], start=1)
    ]
    return {
        "title": title(view, at),
        "area": _("%(n)d children on about %(long)d × %(wide)d m")
        % {"n": len(field["ids"]), "long": area.length_m, "wide": area.width_m},
        "turns": rows,
        "names": _names(present, field["ids"]),
    }


def title(view: GameView, at: int) -> str:
    """Parts of the field are numbered, and not called by age."""
    return _("Field %(n)d") % {"n": at + 1} if len(view.draw.answer["fields"]) > 1 else _("Who chases")


def chasing(view: GameView, present: Present, spell: Iterable[str]) -> list[str]:
    """The chasers of a turn. Whoever goes easy by now, or is not here any more, is none: nobody has to ask for that."""
    if view.state == "over":
        return list(spell)
    here = set(present.ids)
    return [child for child in spell if UUID(child) in here and UUID(child) not in present.easy]


def _names(present: Present, children: Iterable[str]) -> list[str]:
    return sorted((present.name(child) for child in children), key=str.casefold)


def _changed(view: GameView, present: Present) -> list[str]:
    """Who was drawn as a chaser and goes easy by now."""
    if view.state == "over":
        return []
    to_come = {
        child for field in view.draw.answer["fields"] for spell in field["spells"][begun(view) :] for child in spell
    }
    words = _("%(name)s goes easy and chases no more. Take %(name)s out below and fit in again: others get the turns.")
    return [words % {"name": present.name(child)} for child in sorted(to_come) if UUID(child) in present.easy]


def totals(view: GameView) -> list[dict[str, Any]]:
    """Of halves or of everybody, never of a child."""
    said = touches(view)
    if not said:
        return []
    if Chase(view.draw.problem["kind"]) is not Chase.TEAM:
        return [{"name": _("Touches in all"), "total": len(said)}]
    halves = Counter((one.part - 1) % 2 for one in said)
    return [{"name": _("Half %(n)d") % {"n": half + 1}, "total": halves[half]} for half in (0, 1)]


def teams(view: GameView, present: Present) -> list[dict[str, Any]]:
    """For helpers: who plays where."""
    fields = view.draw.answer["fields"]
    return [
        {"name": title(view, at) if len(fields) > 1 else "", "children": _names(present, field["ids"]), "total": ""}
        for at, field in enumerate(fields)
    ]


def turns(view: GameView, present: Present) -> dict[str, Any]:
    """For the phones' script, which finds the turn by the bell. who: by turn and part of the field, ids and names."""
    problem, fields = view.draw.problem, view.draw.answer["fields"]
    rows = [
        [chasing(view, present, field["spells"][turn]) if turn < len(field["spells"]) else [] for field in fields]
        for turn in range(turns_in(view))
    ]
    return {
        "spell_s": problem["spell_s"],
        "rest_s": problem["rest_s"],
        "back_s": view.draw.answer["back_s"],
        "ids": [[child for field in row for child in field] for row in rows],
        "names": [
            [f"{title(view, at)}: {', '.join(names)}" if len(fields) > 1 else ", ".join(names)
             for at, field in enumerate(row) if (names := _names(present, field))]
            for row in rows
        ],
    }  # fmt: skip


def tally(view: GameView, present: Present) -> dict[str, Any]:
    """What is tapped: a chaser and whoever was touched, part of the field by part."""
    here = set(present.ids)
    fields = []
    for at, field in enumerate(view.draw.answer["fields"]):
        chasers = {child for spell in field["spells"] for child in chasing(view, present, spell)}
        people = sorted((present.name(child), child) for child in field["ids"] if UUID(child) in here)
        rows = [{"id": child, "name": name, "chases": child in chasers} for name, child in people]
        fields.append({"title": title(view, at), "rows": rows})
    problem = view.draw.problem
    return {
        "fields": fields,
        "apart": len(fields) > 1,
        "out": problem["kind"] == Chase.LAST,
        "turn": max(1, begun(view)),
        "turns": range(1, turns_in(view) + 1),
        "totals": totals(view),
    }


def own(view: GameView, present: Present, child: UUID) -> list[str]:
    """For the child's own family: that it had its turns."""
    done = begun(view)
    fields = view.draw.answer["fields"]
    count = sum(str(child) in spell for field in fields for spell in field["spells"][:done])
    if child not in view.children or not done:
        return []
    if not count:
        return [_("Ran with the others.")]
    return [ngettext("Was a chaser in %(n)d turn.", "Was a chaser in %(n)d turns.", count) % {"n": count}]


def standing(view: GameView, present: Present) -> dict[str, Any]:
    """For the head coach alone: turns and touches of each child, by name and not by number."""
    said, done = touches(view), begun(view)
    by, of = (Counter(one.data[name] for one in said) for name in ("who", "whom"))
    fields = view.draw.answer["fields"]
    had = Counter(child for field in fields for spell in field["spells"][:done] for child in spell)
    rows = [
        {"name": present.name(child), "had": had[str(child)], "by": by[str(child)], "of": of[str(child)]}
        for child in view.draw.children
    ]
    return {"rows": sorted(rows, key=_by_name), "pairs": _pairs(view, present), "out": _is_out(view)}


def _pairs(view: GameView, present: Present) -> list[dict[str, Any]]:
    """Who touched whom, a line a chaser and turn."""
    lines: dict[tuple[int, str], Counter[str]] = {}
    for one in touches(view):
        lines.setdefault((one.part, one.data["who"]), Counter())[present.name(one.data["whom"])] += 1
    rows = [
        {"turn": turn, "who": present.name(who) if who else "", "whom": ", ".join(_times(whom))}
        for (turn, who), whom in lines.items()
    ]
    return sorted(rows, key=lambda row: (row["turn"], row["who"].casefold()))


def _times(whom: Mapping[str, int]) -> list[str]:
    return [
        f"{name} ×{count}" if count > 1 else name
        for name, count in sorted(whom.items(), key=lambda one: one[0].casefold())
    ]


def _is_out(view: GameView) -> bool:
    return bool(view.draw.problem["kind"] == Chase.LAST)


def _by_name(row: Mapping[str, Any]) -> str:
    return str(row["name"]).casefold()
