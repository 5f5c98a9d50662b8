"""A relay for the page: teams leg by leg, hand-overs, and what each team came to."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.core.templatetags.bibs import bib_name
from clubapp.engine import handtime
from clubapp.engine import heats as engine_heats
from clubapp.engine import relay as engine_relay
from clubapp.engine.words import bib_names
from clubapp.games import bridge
from clubapp.games.heats_shown import state_choices, state_words
from clubapp.games.likely import test_of
from clubapp.games.present import Present
from clubapp.games.state import DrawView, GameView, Viewer
from clubapp.games.trouble import RefusedError

FINISH = "finish"
YARD_M = Decimal("0.9144")
Kind = engine_relay.Kind


def numbers(draw: DrawView) -> list[str]:
    """Teams are entered by number, from 1."""
    return [str(at + 1) for at in range(len(draw.answer["teams"]))]


def bibs(draw: DrawView) -> tuple[str, ...]:
    return bib_names(len(draw.answer["teams"]))


def title(draw: DrawView) -> str:
    return _("Race %(n)d") % {"n": draw.round}


def leg_m(view: GameView, present: Present) -> float | None:
    """As it was said, else the length of the test that is run."""
    if view.wishes.get("leg_m"):
        return float(view.wishes["leg_m"])
    test = test_of(present.session.club, view.wishes.get("test", ""))
    if test is None or not test.distance:
        return None
    return float(Decimal(test.distance) * (YARD_M if test.distance_unit == "yd" else 1))


def show(view: GameView, present: Present, viewer: Viewer) -> dict[str, Any]:
    """Teams leg by leg, and what each has come to: totals of teams are for everybody."""
    draw = view.draw
    said = view.last(FINISH, draw.round, 1)
    return {
        "title": title(draw),
        "teams": [_team(draw, at, present, sums(view)) for at in range(len(draw.answer["teams"]))],
        "scored": bool(sums(view)),
        "ends": _ends(draw),
        "hand_over": _hand_over(leg_m(view, present)),
        "entered": said is not None,
        "by": said.by_name if said else "",
        "next": viewer.leads and said is not None,
        "next_words": _("Run it once more"),
        "enter": 0 if said else 1,
        "enter_words": _("Enter the race"),
        "notes": _notes(draw, present) if viewer.leads else [],
    }


def _team(draw: DrawView, at: int, present: Present, points: Mapping[str, int]) -> dict[str, Any]:
    legs = draw.answer["teams"][at]
    return {
        "bib": bibs(draw)[at],
        "number": at + 1,
        "legs": [
            {
                "number": place + 1,
                "name": present.name(child),
                "far": draw.problem["course"] == Kind.SHUTTLE and place % 2 == 1,
                "twice": legs.count(child) > 1,
            }
            for place, child in enumerate(legs)
        ],
        "points": points.get(str(at + 1), 0),
    }


def _ends(draw: DrawView) -> str:
    if draw.problem["course"] != Kind.SHUTTLE:
        return ""
    near, far = engine_relay.ends(len(draw.answer["teams"][0]))
    words = _("To and fro: odd legs (%(near)d) start at the near end, even legs (%(far)d) at the far end.")
    return words % {"near": near, "far": far}


def _hand_over(metres: float | None) -> str:
    """Where the baton, not the runner, changes hands."""
    zone = engine_relay.zone(metres) if metres else None
    if zone is None:
        return _("Hand over behind the line: the next one runs when touched or holding the baton.")
    words = _("The baton changes hands in a zone from %(before)g m before the line to %(after)g m after it.")
    return words % {"before": zone.before_m, "after": zone.after_m}


def _notes(draw: DrawView, present: Present) -> list[str]:
    """How equal the teams are, for whoever made them."""
    if not draw.problem["test"]:
        return [_("Nobody has been timed yet: the teams are equal by age alone.")]
    test = test_of(present.session.club, draw.problem["test"])
    words = _("The teams' likely totals differ by %(s)s s, from times over “%(test)s”.")
    return [words % {"s": f"{draw.proof['score'] / 1000:.2f}", "test": test.name if test else draw.problem["test"]}]


def result_of(view: GameView, draw: DrawView) -> dict[str, int | None]:
    """What the places of a race go by: the order that was seen, else times; None for a team that has neither."""
    said = view.last(FINISH, draw.round, 1)
    if said is None:
        return {}
    places = engine_heats.places(bridge.finishes(said.data, numbers(draw)))
    return {team: places.get(team) for team in numbers(draw)}


def sums(view: GameView) -> dict[str, int]:
    """Points by rank order over all races that were entered."""
    found: dict[str, int] = {}
    for draw in view.draws:
        for team, points in engine_relay.points(result_of(view, draw)).items():
            found[team] = found.get(team, 0) + points
    return found


def team_sums(view: GameView) -> list[tuple[list[str], int]]:
    found = sums(view)
    named = zip(numbers(view.draw), view.draw.answer["teams"], strict=True)
    return [(sorted(set(team)), found[number]) for number, team in named] if found else []


def points_words(points: int) -> str:
    return _("%(n)d points") % {"n": points}


def teams(view: GameView, present: Present) -> list[dict[str, Any]]:
    """For helpers: who is in which team, by letter, and what the team has come to."""
    found = sums(view)
    return [
        {
            "name": bib_name(bib),
            "children": sorted({present.name(child) for child in team}, key=str.casefold),
            "total": points_words(found[str(at + 1)]) if found else "",
        }
        for at, (bib, team) in enumerate(zip(bibs(view.draw), view.draw.answer["teams"], strict=True))
    ]


def own(view: GameView, present: Present, child: UUID) -> list[str]:
    """For the child's guardian: its team, its legs, and what the teams came to."""
    found, draw = [], view.draw
    for at, team in enumerate(draw.answer["teams"]):
        if str(child) in team:
            legs = ", ".join(str(place + 1) for place, one in enumerate(team) if one == str(child))
            found.append(_("Team %(team)s, leg %(legs)s.") % {"team": bib_name(bibs(draw)[at]), "legs": legs})
    points = sums(view)
    if found and points:
        pairs = zip(bibs(draw), numbers(draw), strict=True)
        found.append(", ".join(f"{bib_name(bib)}: {points_words(points[number])}" for bib, number in pairs) + ".")
    return found


def entering(view: GameView, present: Present, viewer: Viewer, part: int) -> dict[str, Any]:
    """The teams to tap as they come in; a team's place is for everybody who works here."""
    draw = view.draw
    if part != 1:
        raise RefusedError(_("There is no such race: look again."))
    said = view.last(FINISH, draw.round, 1)
    data = said.data if said else {}
    return {
        "title": title(draw),
        "lead": _("Tap the teams as their last runners come in."),
        "times": _("Points go by the order: of %(n)d teams the first has %(n)d.") % {"n": len(numbers(draw))},
        "by": said.by_name if said else "",
        "hidden": False,
        "blank": said is None,
        "rows": [_row(number, bib, data) for number, bib in zip(numbers(draw), bibs(draw), strict=True)],
        "states": state_choices(),
        "next_part": 0,
    }


def _row(number: str, bib: str, data: Mapping[str, Any]) -> dict[str, Any]:
    ms = data.get("times", {}).get(number)
    return {
        "id": number,
        "name": bib_name(bib),
        "note": "",
        "place": data.get("places", {}).get(number, ""),
        "time": handtime.text(ms, by_hand=ms % 100 == 0) if ms else "",
        "state": data.get("states", {}).get(number, ""),
    }


def standing(view: GameView, present: Present) -> dict[str, Any]:
    """For the head coach alone: likely times leg by leg, which would order children, beside how races came in."""
    draw = view.draw
    asked = bridge.relay_problem(draw.problem, draw.problem["likely"])
    own_ms, totals = asked.own, engine_relay.totals(asked, bridge.relay_teams(draw.answer))
    timed = bool(draw.problem["test"])
    return {
        "timed": timed,
        "teams": [
            {
                "bib": bib,
                "legs": [
                    {"number": at + 1, "name": present.name(child), "likely": handtime.text(own_ms[child])}
                    for at, child in enumerate(team)
                ],
                "total": handtime.text(total),
            }
            for bib, team, total in zip(bibs(draw), draw.answer["teams"], totals, strict=True)
        ],
        "races": [_race(view, one) for one in view.draws if result_of(view, one)],
    }


def _race(view: GameView, draw: DrawView) -> dict[str, Any]:
    said = view.last(FINISH, draw.round, 1)
    data: Mapping[str, Any] = said.data if said else {}
    places, points = result_of(view, draw), engine_relay.points(result_of(view, draw))
    rows = []
    for number, bib in zip(numbers(draw), bibs(draw), strict=True):
        ms, state = data.get("times", {}).get(number), data.get("states", {}).get(number)
        time = handtime.text(ms, by_hand=ms % 100 == 0) if ms else ""
        row = {"bib": bib, "place": places[number] or "", "points": points[number]}
        rows.append({**row, "time": state_words(state) if state else time})
    return {"title": title(draw), "rows": rows}
