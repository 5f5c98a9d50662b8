"""A handicap race for the page: the count for whoever starts it, places and chances for the head coach alone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.engine import handicap as engine_handicap
from clubapp.engine import handtime
from clubapp.engine import heats as engine_heats
from clubapp.games import bridge, carried, handicaps_watch
from clubapp.games.heats_shown import state_choices, state_words
from clubapp.games.likely import test_of
from clubapp.games.present import Present
from clubapp.games.state import DrawView, GameView, Viewer, seen_again
from clubapp.games.trouble import RefusedError

FINISH = carried.FINISH
How, Rule = engine_handicap.How, engine_handicap.Rule


def by_seconds(draw: DrawView) -> bool:
    return bool(draw.problem["how"] == How.SECONDS)


def title(draw: DrawView) -> str:
    return _("Race %(n)d") % {"n": draw.round}


def start_words(draw: DrawView, mark: int) -> str:
    """On the count, or so far in front of the line."""
    if by_seconds(draw):
        return _("on %(n)d") % {"n": mark // 1000}
    return f"{mark / 1000:g} m" if mark else _("the line")


def starts(draw: DrawView, present: Present) -> list[dict[str, Any]]:
    """Who starts where or when, the earliest and the farthest in front first."""
    found: dict[int, list[str]] = {}
    for child, mark in draw.answer["marks"].items():
        found.setdefault(mark, []).append(present.name(child))
    order = sorted(found, reverse=not by_seconds(draw))
    return [
        {
            "figure": mark // 1000 if by_seconds(draw) else start_words(draw, mark),
            "names": sorted(found[mark], key=str.casefold),
            "at": mark // 1000,
        }
        for mark in order
    ]


def show(view: GameView, present: Present, viewer: Viewer) -> dict[str, Any]:
    """Starts; no places, times or chances here, this page is kept on phones."""
    draw = view.draw
    said = view.last(FINISH, draw.round, 1)
    test = test_of(present.session.club, draw.problem["test"])
    return {
        "title": title(draw),
        "starts": starts(draw, present),
        "seconds": by_seconds(draw),
        "course": test.name if test else draw.problem["test"],
        "entered": said is not None,
        "by": said.by_name if said else "",
        "next": viewer.leads and said is not None,
        "next_words": _("Next race, with new marks"),
        "enter": 0 if said else 1,
        "enter_words": _enter_words(view),
        "straight": True,
        "notes": [*_notes(draw, present)] if viewer.leads else [],
    }


def _enter_words(view: GameView) -> str:
    """Start it; or keep it, once a stop-watch has sent times."""
    timed = len(handicaps_watch.clocked(view, view.draw.round))
    return _("Keep the race: %(n)d timed") % {"n": timed} if timed else _("Start the race")


def _notes(draw: DrawView, present: Present) -> list[str]:
    """What the marks were made from, for whoever made them."""
    problem, found = draw.problem, []
    if draw.round > 1 or problem["carried"]:
        found.append(rule_words(problem["rule"]))
    found += _new_words(draw, present)
    if not problem["from"] and not problem["carried"]:
        found.append(_("Nobody has been timed yet: the marks go by age alone."))
    elif problem["from"] != problem["test"] and len(problem["carried"]) < len(problem["likely"]):
        other = test_of(present.session.club, problem["from"])
        if other:
            found.append(_("Nobody was timed over this course: the marks come from “%(test)s”.") % {"test": other.name})
    if "step" in draw.proof.get("notes", []):
        found.append(_step_words(draw))
    return found


def _new_words(draw: DrawView, present: Present) -> list[str]:
    """New among timed children: whose start is careful, and who came when the marks stood and has none to be had."""
    new = draw.problem["new"]
    if len(new) == len(draw.problem["likely"]):
        return []
    asked = bridge.handicap_problem(draw.problem, draw.problem["likely"])
    early = set(engine_handicap.too_early(asked, draw.answer["marks"]))
    quick = _(
        "Never timed, and may be home well before the others although nobody starts farther back: %(names)s. "
        "Make the race anew to move the others forward."
    )
    both = [
        (_("Never timed, with a careful start: %(names)s."), [child for child in new if child not in early]),
        (quick, [child for child in new if child in early]),
    ]
    return [words % {"names": _listed(ids, present)} for words, ids in both if ids]


def _listed(ids: list[str], present: Present) -> str:
    return ", ".join(sorted(map(present.name, ids), key=str.casefold))


def _step_words(draw: DrawView) -> str:
    if by_seconds(draw):
        return _(
            "With whole seconds one child is more than twice as likely to win as another: take metres, or run farther."
        )
    return _("To the tenth of a metre one child is still more than twice as likely to win as another: run farther.")


def rule_words(rule: str) -> str:
    """How marks follow from the race before."""
    if rule == Rule.HALF_WAY:
        return _("Marks moved half-way from what was expected to what was run.")
    return _("Marks moved towards what was run, the more the less was known of a child.")


def teams(view: GameView, present: Present) -> list[dict[str, Any]]:
    """For helpers: who is in it, by letter."""
    names = sorted((present.name(child) for child in view.draw.answer["marks"]), key=str.casefold)
    return [{"name": title(view.draw), "children": names, "total": ""}]


def own(view: GameView, present: Present, child: UUID) -> list[str]:
    """For the child's guardian: in how many races it ran. A start would say how others were expected to run."""
    ran = [
        draw.round
        for draw in view.draws
        if (said := view.last(FINISH, draw.round, 1)) and _came_in(said.data, str(child))
    ]
    return [_("Ran in %(n)d of the races, each with a start of its own.") % {"n": len(ran)}] if ran else []


def _came_in(data: Mapping[str, Any], child: str) -> bool:
    return child in data.get("places", {}) or child in data.get("times", {})


def entering(view: GameView, present: Present, viewer: Viewer, part: int) -> dict[str, Any]:
    """The count, the clock of the race, and the children in the order in which they start."""
    draw = view.draw
    if part != 1:
        raise RefusedError(_("There is no such race: look again."))
    said = view.last(FINISH, draw.round, 1)
    data = seen_again(said, viewer)
    watched = {} if data else handicaps_watch.clocked(view, draw.round)
    if watched:
        data = {"times": watched, "places": handicaps_watch.places(watched)}
    order = sorted(draw.answer["marks"].items(), key=lambda row: (row[1] if by_seconds(draw) else -row[1], row[0]))
    return {
        "title": title(draw),
        "lead": _("From the stop-watch. Look it over, then keep it.")
        if watched
        else _("Start the count, then tap the children as they come in."),
        "times": _("A time is what the clock of the race shows, from the first start on."),
        "by": said.by_name if said else "",
        "hidden": said is not None and not data,
        "blank": said is None and not watched,
        "rows": [_row(draw, child, mark, data, present) for child, mark in order],
        "states": state_choices(),
        "next_part": 0,
        "clock": {
            "starts": starts(draw, present) if by_seconds(draw) else [],
            "words": {"go": _("Go"), "ready": _("Ready"), "stopped": _("The count was stopped: start it again.")},
        },
    }


def _row(draw: DrawView, child: str, mark: int, data: Mapping[str, Any], present: Present) -> dict[str, Any]:
    ms = data.get("times", {}).get(child)
    return {
        "id": child,
        "name": present.name(child),
        "note": start_words(draw, mark),
        "place": data.get("places", {}).get(child, ""),
        "time": handtime.text(ms, by_hand=ms % 100 == 0) if ms else "",
        "state": data.get("states", {}).get(child, ""),
    }


def standing(view: GameView, present: Present) -> dict[str, Any]:
    """For the head coach alone: each child's chance before the race, and how it came in."""
    test = test_of(present.session.club, view.draw.problem["test"])
    return {
        "races": [_race(view, draw, present) for draw in view.draws],
        "test": test.name if test else "",
        "rule": rule_words(view.draw.problem["rule"]),
    }


def _race(view: GameView, draw: DrawView, present: Present) -> dict[str, Any]:
    asked = bridge.handicap_problem(draw.problem, draw.problem["likely"])
    chances = engine_handicap.chances(asked, bridge.marks(draw.answer))
    said = view.last(FINISH, draw.round, 1)
    entered = bridge.finishes(said.data, draw.answer["marks"]) if said else []
    places, finish = engine_heats.places(entered), {one.id: one for one in entered}
    likely = {one.id: one.ms for one in asked.runners}
    rows = [
        {
            "name": present.name(child),
            "start": start_words(draw, mark),
            "likely": handtime.text(likely[child]) if draw.problem["from"] else "",
            "chance": round(100 * chances[child]),
            "place": places.get(child, ""),
            "ran": _ran(draw, finish.get(child)),
        }
        for child, mark in draw.answer["marks"].items()
    ]
    rows.sort(key=lambda row: (row["place"] or 99, str(row["name"]).casefold()))
    return {"title": title(draw), "rows": rows}


def _ran(draw: DrawView, one: engine_heats.Finish | None) -> str:
    """The child's own time over the whole course, or what else happened."""
    if one is None:
        return ""
    if one.state is not engine_heats.State.FINISHED:
        return state_words(one.state)
    return handtime.text(round(1000 * carried.own_s(draw, one.id, one.ms))) if one.ms else ""
