"""Heats for the page: line-ups for everybody, how a heat came in for whoever entered it, the order for the coach."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.engine import handtime
from clubapp.engine import heats as engine_heats
from clubapp.games import heats_asked, heats_rounds
from clubapp.games.likely import test_of
from clubapp.games.present import Present
from clubapp.games.state import DrawView, GameView, Said, Viewer, seen_again
from clubapp.games.trouble import RefusedError
from clubapp.results import queries as results
from clubapp.results.bridge import Span

FINISH = heats_rounds.FINISH
State = engine_heats.State


def state_words(state: str) -> str:
    """What happened to a child who has no place, in words."""
    return {
        State.NOT_STARTED: _("did not start"),
        State.NOT_FINISHED: _("did not finish"),
        State.DISQUALIFIED: _("disqualified"),
    }[State(state)]


def note_words(note: str) -> str:
    """What the engine had to tell of who goes through."""
    note_of = engine_heats.Note
    known: dict[str, str] = {
        note_of.LEVEL_PLACE: _("Equals for the last place go through together, which costs places on time."),
        note_of.CLOCKS: _("Heats were timed in different ways, so that nobody goes through on time."),
        note_of.LOTS: _("Equal times for the last place on time: lots were drawn."),
    }
    return known.get(note, note)


def state_choices() -> list[tuple[str, str]]:
    return [("", "–"), *((state.value, state_words(state)) for state in State if state is not State.FINISHED)]


def title(draw: DrawView, part: int) -> str:
    """Finals are called by number, not by strength."""
    count = len(draw.answer["heats"])
    if draw.answer.get("final"):
        return _("Final") if count == 1 else _("Final %(n)d") % {"n": part}
    if draw.round == 1:
        return _("Heat %(n)d") % {"n": part}
    return _("Round %(turn)d, heat %(n)d") % {"turn": draw.round, "n": part}


def _heat(view: GameView, draw: DrawView, part: int, present: Present) -> dict[str, Any]:
    said = view.last(FINISH, draw.round, part)
    return {
        "part": part,
        "title": title(draw, part),
        "lanes": [
            {"lane": lane, "id": child, "name": present.name(child)} for lane, child in draw.answer["heats"][part - 1]
        ],
        "entered": said is not None,
        "by": said.by_name if said else "",
        "also_by": _others(view, draw.round, part, said),
    }


def _others(view: GameView, round_no: int, part: int, last: Said | None) -> list[str]:
    """Other adults who had entered the same heat before: two phones may have differed."""
    names = [one.by_name for one in view.entries(FINISH, round_no, part) if last and one.by != last.by]
    return list(dict.fromkeys(names))


def show(view: GameView, present: Present, viewer: Viewer) -> dict[str, Any]:
    """Line-ups by lane; no places here, this page is kept on phones."""
    draw = view.draw
    heats = [_heat(view, draw, part + 1, present) for part in range(len(draw.answer["heats"]))]
    missing = heats_rounds.still_to_run(view)
    return {
        "heats": heats,
        "earlier": [
            [_heat(view, one, part + 1, present) for part in range(len(one.answer["heats"]))] for one in view.draws[:-1]
        ],
        "notes": [note_words(note) for note in draw.proof.get("notes", [])],
        "next": viewer.leads and not missing and not heats_rounds.is_last(view),
        "next_words": _("Draw the finals")
        if view.wishes["after"] == heats_rounds.FOR_ALL
        else _("Draw the next round"),
        "enter": missing[0] + 1 if missing else 0,
        "enter_words": _("Enter %(heat)s") % {"heat": title(draw, missing[0] + 1)} if missing else "",
        "rule": rule_words(view),
        "why": worth_words(view, present) if viewer.leads else "",
    }


def rule_words(view: GameView) -> str:
    """What comes after this round."""
    if heats_rounds.is_last(view):
        return ""
    if view.wishes["after"] == heats_rounds.FOR_ALL:
        return _("Then everybody runs a final.")
    rule = heats_rounds.rule_of(len(view.draw.answer["heats"]), view.draw.problem["lanes"])
    if rule.times:
        return _("Through to the next round: %(places)d of each heat, and %(times)d on time.") % {
            "places": rule.places,
            "times": rule.times,
        }
    return _("Through to the next round: %(places)d of each heat.") % {"places": rule.places}


def worth_words(view: GameView, present: Present) -> str:
    """How even the heats are, as far as anybody was ever timed."""
    draw = view.draw
    if draw.round > 1 or "score" not in draw.proof or draw.problem["mode"] != engine_heats.Mode.EVEN:
        return ""
    if not draw.problem["test"]:
        return _("Nobody has been timed yet: the heats are even by age alone.")
    seconds = f"{draw.proof['score'] / 1000:.2f}"
    test = test_of(present.session.club, draw.problem["test"])
    text = _("The heats' mean likely times differ by %(s)s s over %(test)s.")
    return text % {"s": seconds, "test": test.name if test else draw.problem["test"]}


def teams(view: GameView, present: Present) -> list[dict[str, Any]]:
    """For helpers: who is in which heat, by name."""
    draw = view.draw
    return [
        {
            "name": title(draw, part + 1),
            "children": sorted((present.name(child) for _lane, child in heat), key=str.casefold),
            "total": "",
        }
        for part, heat in enumerate(draw.answer["heats"])
    ]


def own(view: GameView, present: Present, child: UUID) -> list[str]:
    """For the child's guardian: the heats it was in. Which final it ran would say how it had come in."""
    found = []
    for draw in view.draws:
        for part, heat in enumerate(draw.answer["heats"], start=1):
            if str(child) in [one for _lane, one in heat]:
                found.append(_("Then a final.") if draw.answer.get("final") else f"{title(draw, part)}.")
    return found


def entering(view: GameView, present: Present, viewer: Viewer, part: int) -> dict[str, Any]:
    """One heat to enter: by lane, with what the stop-watch took, and what this adult entered before."""
    draw = view.draw
    if not 1 <= part <= len(draw.answer["heats"]):
        raise RefusedError(_("There is no such heat any more: look again."))
    said = view.last(FINISH, draw.round, part)
    data = seen_again(said, viewer)
    heat = _heat(view, draw, part, present)
    watch = _watched(view, present, [UUID(row["id"]) for row in heat["lanes"]])
    rows = [_row(row, data, watch.get(row["id"])) for row in heat["lanes"]]
    club, code = present.session.club, view.wishes.get("test", "")
    spans = heats_asked.likely_spans(club, code, [UUID(row["id"]) for row in rows]) if viewer.ranks else {}
    later = [at + 1 for at in heats_rounds.still_to_run(view) if at + 1 != part]
    return {
        "title": heat["title"],
        "lead": _("Tap the children as they come in."),
        "times": _("Times come from the stop-watch where it took them; what you type here is kept as a result."),
        "by": heat["by"],
        "blank": said is None and not watch,
        "rows": [{**row, "span": _span(spans.get(UUID(row["id"])), row["name"])} for row in rows],
        "hidden": said is not None and not data,
        "states": state_choices(),
        "next_part": later[0] if later else 0,
        "span": heats_asked.span_of(club, code),
    }


def _span(span: Span | None, name: str) -> dict[str, Any]:
    """From and to which the script asks nothing of this child; for the head coach's phone alone."""
    return {"least": span.least, "most": span.most, "words": heats_asked.far_question(name)} if span else {}


def _row(lane: Mapping[str, Any], data: Mapping[str, Any], watch: results.Run | None) -> dict[str, Any]:
    child = lane["id"]
    ms = data.get("times", {}).get(child, watch.ms if watch and not data else None)
    return {
        **lane,
        "note": _("lane %(n)d") % {"n": lane["lane"]},
        "place": data.get("places", {}).get(child, ""),
        "time": handtime.text(ms, by_hand=ms % 100 == 0) if ms else "",
        "state": data.get("states", {}).get(child, ""),
        "watch_ms": watch.ms if watch else "",
        "watch_way": (watch.timing or "hand") if watch else "",
    }


def _watched(view: GameView, present: Present, ids: list[UUID]) -> dict[str, results.Run]:
    """The newest run of today over this game's test, unless an earlier round of the game has used it."""
    used: dict[str, list[int]] = {}
    for one in view.entries(FINISH):
        if one.round < view.draw.round:
            for child, ms in one.data.get("times", {}).items():
                used.setdefault(child, []).append(ms)
    found: dict[str, results.Run] = {}
    for run in sorted(results.runs_on(ids, present.session.date), key=lambda run: run.at):
        if run.trial.code == view.wishes.get("test") and run.counts and run.timing:
            taken = used.get(str(run.athlete_id), [])
            if run.ms in taken:
                taken.remove(run.ms)
            else:
                found[str(run.athlete_id)] = run
    return found


def standing(view: GameView, present: Present) -> dict[str, Any]:
    """For the coach alone: how every heat came in, and who stands where."""
    rounds = []
    for draw in view.draws:
        heats = [_result(view, draw, part + 1, present) for part in range(len(draw.answer["heats"]))]
        rounds.append(
            {
                "heats": [heat for heat in heats if heat["rows"]],
                "notes": [note_words(note) for note in draw.proof.get("notes", [])],
            }
        )
    test = test_of(present.session.club, view.draw.problem["test"])
    entered = any(one["heats"] for one in rounds)
    return {"rounds": rounds, "entered": entered, "test": test.name if test else ""}


def _result(view: GameView, draw: DrawView, part: int, present: Present) -> dict[str, Any]:
    entered = heats_rounds.finish_of(view, draw.round, part)
    places = engine_heats.places(entered)
    rows = [
        {
            "name": present.name(one.id),
            "place": places.get(one.id, ""),
            "time": handtime.text(one.ms, by_hand=one.ms % 100 == 0) if one.ms else "",
            "words": "" if one.state is State.FINISHED else state_words(one.state),
        }
        for one in entered
    ]
    rows.sort(key=lambda row: (row["place"] or 99, row["name"]))
    return {"title": title(draw, part), "rows": rows}
