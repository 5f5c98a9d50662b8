"""What a phone of the storm writes: every kind that pages keep until the club has it."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

KINDS = ("here", "late", "absent", "told", "cleared")


@dataclass(frozen=True)
class Write:
    """html: answered by a fragment of a page, as for the script of the register. me: signed in as somebody else."""

    kind: str
    path: str
    fields: dict[str, Any]
    html: bool = False
    me: dict[str, str] | None = None


def drawn(stage: dict[str, Any], op_id: str, lot: random.Random) -> Write:
    """Mostly marks, as in an evening."""
    (make,) = lot.choices(list(WEIGHTS), list(WEIGHTS.values()))
    return make(stage, op_id, lot)


def _mark(stage: dict[str, Any], op_id: str, lot: random.Random) -> Write:
    child, kind = lot.choice(stage["children"]), lot.choice(KINDS)
    home = f"/register/{stage['session']}"
    if kind == "cleared":
        return Write("undo", f"{home}/undo/", {"athlete": child})
    return Write("mark", f"{home}/mark/", {"athlete": child, "kind": kind})


def _collected(stage: dict[str, Any], op_id: str, lot: random.Random) -> Write:
    child, adult = lot.choice(stage["takers"])
    fields = {"athlete": child, "kind": "left", "went": adult}
    return Write("collection", f"/register/{stage['session']}/mark/", fields)


def _notice(stage: dict[str, Any], op_id: str, lot: random.Random) -> Write:
    """A guardian's, from a page of the family."""
    family = stage["family"]
    fields = {"word": "Grandmother rang."} if lot.random() < 0.5 else {"comes": "yes"}
    path = f"/family/{lot.choice(family['children'])}/cannot-come/{stage['session']}/"
    return Write("absence note", path, fields, me=family)


def _new_child(stage: dict[str, Any], op_id: str, lot: random.Random) -> Write:
    fields = {"given_name": f"New {op_id[:8]}", "birth_year": stage["year"] - 10, "phone": "07700 900123"}
    fields |= {"collectors": "Una Weir", "health": "no", "here": "yes"}
    return Write("new child", f"/register/{stage['session']}/new-child/", fields, html=True)


def _count(stage: dict[str, Any], op_id: str, lot: random.Random) -> Write:
    fields = {"round": lot.randint(1, stage["rounds"]), "counted": lot.randint(0, 9)}
    return Write("head-count", f"/bell/{stage['session']}/count/{lot.choice(stage['stations'])}/", fields)


def _incident(stage: dict[str, Any], op_id: str, lot: random.Random) -> Write:
    fields = {"athlete": lot.choice(stage["children"]), "at": "00:00", "what": f"A grazed knee. {op_id}"}
    return Write("incident note", f"/bell/{stage['session']}/incident/", fields)


def _time(stage: dict[str, Any], op_id: str, lot: random.Random) -> Write:
    fields = {"athlete": lot.choice(stage["children"]), "trial": "sprint-40-m", "ms": lot.randint(5000, 15_000)}
    return Write("time", f"/bell/{stage['session']}/result/", fields | {"attempt": lot.randint(1, 99)})


WEIGHTS: dict[Callable[[dict[str, Any], str, random.Random], Write], float] = {
    _mark: 65,
    _collected: 6,
    _notice: 4,
    _count: 10,
    _time: 8,
    _incident: 5,
    _new_child: 2,
}
