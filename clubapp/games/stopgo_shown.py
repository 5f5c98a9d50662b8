"""A stop-and-go game for the page: its rule, who starts further back, and the signals for the phone's script."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clubapp.games.heats_shown import state_choices, state_words
from clubapp.games.present import Present
from clubapp.games.state import DrawView, GameView, Viewer, seen_again
from clubapp.games.trouble import RefusedError

KIND, FINISH = "stopgo", "finish"
# Shortest wait, how much longer in the mean, longest, in milliseconds: none of them can be guessed (engine.cues).
GO = {"short": (1000, 700, 3000), "usual": (1500, 1200, 5000), "long": (2500, 2000, 8000)}
STILL = (1800, 800, 4000)


def title(draw: DrawView) -> str:
    return _("Run %(n)d") % {"n": draw.round}


def show(view: GameView, present: Present, viewer: Viewer) -> dict[str, Any]:
    """No places: this page is kept on phones. Starts further back have to be called, and so stand here."""
    said, draw = view.last(FINISH, view.draw.round, 1), view.draw
    return {
        "title": title(draw),
        "rule": rule_words(view),
        "names": _names(present, map(str, draw.children)),
        "back": _back(draw, present),
        "level": _("Whoever was first over the line starts further back the next time: our rule.")
        if view.wishes["level"]
        else "",
        "entered": said is not None,
        "by": said.by_name if said else "",
        "next": viewer.leads and said is not None,
        "next_words": _("Run it once more"),
        "enter": 0 if said else 1,
        "enter_words": _("Signals and line"),
    }


def rule_words(view: GameView) -> str:
    back = {
        "steps": _("goes three long steps back"),
        "line": _("goes back to the start"),
    }[view.wishes["moved"]]
    words = _(
        "All start on a line %(metres)d m from the caller. “Go”: run. “Still”: stand at once. Who moves %(back)s. "
        "Who comes over the caller's line is home."
    )
    return words % {"metres": view.wishes["metres"], "back": back}


def _back(draw: DrawView, present: Present) -> list[dict[str, Any]]:
    by_metres: dict[int, list[str]] = {}
    for child, metres in draw.answer["back"].items():
        by_metres.setdefault(metres, []).append(child)
    return [
        {"figure": _("%(n)d m back") % {"n": metres}, "names": _names(present, ids)}
        for metres, ids in sorted(by_metres.items())
    ]


def _names(present: Present, children: Iterable[str]) -> list[str]:
    return sorted((present.name(child) for child in children), key=str.casefold)


def teams(view: GameView, present: Present) -> list[dict[str, Any]]:
    """For helpers: who is in it."""
    return [{"name": "", "children": _names(present, map(str, view.draw.children)), "total": ""}]


def own(view: GameView, present: Present, child: UUID) -> list[str]:
    runs = sum(child in draw.children for draw in view.draws if view.last(FINISH, draw.round, 1))
    return [ngettext("Was in %(n)d run.", "Was in %(n)d runs.", runs) % {"n": runs}] if runs else []


def entering(view: GameView, present: Present, viewer: Viewer, part: int) -> dict[str, Any]:
    """Signals above, children to tap below. What an adult entered is shown again to that adult alone."""
    draw = view.draw
    if part != 1:
        raise RefusedError(_("There is no such run: look again."))
    said = view.last(FINISH, draw.round, 1)
    data = seen_again(said, viewer)
    rows = [
        {
            "id": child,
            "name": name,
            "note": _("%(n)d m back") % {"n": draw.answer["back"][child]} if child in draw.answer["back"] else "",
            "place": data.get("places", {}).get(child, ""),
            "state": data.get("states", {}).get(child, ""),
            "moved": data.get("moved", {}).get(child, ""),
        }
        for name, child in sorted((present.name(child), str(child)) for child in draw.children)
    ]
    return {
        "title": title(draw),
        "lead": _("Tap a name as the child comes over the line; “moved” for whoever did."),
        "times": "",
        "untimed": True,
        "rows": rows,
        "states": state_choices(),
        "hidden": said is not None and not data,
        "by": said.by_name if said else "",
        "blank": said is None,
        "signals": signals(view),
    }


def signals(view: GameView) -> dict[str, Any]:
    """For the script: waits before each signal. “Still”, because STOP calls everybody off the field."""
    names = ("least_ms", "tau_ms", "most_ms")
    return {
        "go": dict(zip(names, GO[view.wishes["pace"]], strict=True)),
        "still": dict(zip(names, STILL, strict=True)),
        "words": {
            "go": _("Go"),
            "still": _("Still"),
            "ready": _("Ready"),
            "stopped": _("Stopped: an alarm rings."),
            "away": _("Stopped: the page was put away. A phone in the pocket cannot call."),
        },
    }


def standing(view: GameView, present: Present) -> dict[str, Any]:
    """For the head coach alone: run by run, in the order of the line."""
    runs: list[dict[str, Any]] = []
    for draw in view.draws:
        said = view.last(FINISH, draw.round, 1)
        if said is not None:
            rows = [_row(present, str(child), said.data) for child in draw.children]
            runs.append({"title": title(draw), "rows": sorted(rows, key=_by_place)})
    return {"runs": runs}


def _row(present: Present, child: str, data: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "name": present.name(child),
        "place": data["places"].get(child, ""),
        "moved": data["moved"].get(child, ""),
        "words": state_words(data["states"][child]) if child in data["states"] else "",
    }


def _by_place(row: Mapping[str, Any]) -> tuple[int, str]:
    return (row["place"] or 10_000, str(row["name"]).casefold())
