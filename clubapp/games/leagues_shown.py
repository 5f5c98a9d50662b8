"""Small-sided and wall games for the page: who plays whom where, who rests, and the teams' table."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clubapp.core.templatetags.bibs import bib_name
from clubapp.engine import league as engine_league
from clubapp.engine.words import bib_names
from clubapp.games.leagues_bridge import slots_of, until
from clubapp.games.likely import test_of
from clubapp.games.present import Present
from clubapp.games.state import DrawView, GameView, Viewer
from clubapp.games.trouble import RefusedError

SCORE = "score"
PAIRS, Tie = engine_league.Kind.PAIRS, engine_league.Tie
Fixture = engine_league.Fixture


def count(draw: DrawView) -> int:
    return sum(len(slot) for slot in draw.answer["slots"])


def in_pairs(draw: DrawView) -> bool:
    return bool(draw.problem["how"] == PAIRS)


def numbered(draw: DrawView) -> Iterator[tuple[int, int, Fixture]]:
    """Turn, the game's number from 1 through all turns, the game. Numbers stay whoever is fitted in."""
    part = 0
    for turn, slot in enumerate(slots_of(draw.answer).slots, start=1):
        for fixture in slot:
            part += 1
            yield turn, part, fixture


def bibs(draw: DrawView) -> tuple[str, ...]:
    return () if in_pairs(draw) else bib_names(len(draw.answer["sides"]))


class Sides:
    """What the sides of a draw are called."""

    def __init__(self, draw: DrawView, present: Present) -> None:
        self.draw, self.present = draw, present

    def children(self, number: str) -> list[str]:
        ids = self.draw.answer["sides"][int(number) - 1]
        return sorted((self.present.name(child) for child in ids), key=str.casefold)

    def name(self, number: str) -> str:
        """A team is its colour; a place in two against two whoever has it, in turn where two do."""
        if not in_pairs(self.draw):
            return bib_name(bibs(self.draw)[int(number) - 1])
        return " / ".join(self.children(number)) or _("an adult")

    def side(self, numbers: Iterable[str]) -> dict[str, Any]:
        ids = list(numbers)
        bib = "" if in_pairs(self.draw) else bibs(self.draw)[int(ids[0]) - 1]
        return {"bib": bib, "name": _(" and ").join(self.name(one) for one in ids)}

    def against(self, fixture: Fixture) -> str:
        first, second = self.side(fixture.first)["name"], self.side(fixture.second)["name"]
        return _("%(first)s – %(second)s") % {"first": first, "second": second}


def goals(view: GameView, part: int) -> tuple[int, int] | None:
    said = view.last(SCORE, view.draw.round, part)
    return tuple(said.data["goals"]) if said and said.data.get("goals") else None


def show(view: GameView, present: Present, viewer: Viewer) -> dict[str, Any]:
    """Scores and tables of teams are for everybody; where each plays for itself only that a game was played."""
    draw, sides = view.draw, Sides(view.draw, present)
    missing = [(part, fixture) for _turn, part, fixture in numbered(draw) if not goals(view, part)]
    return {
        "teams": [] if in_pairs(draw) else [
            {"bib": bib, "children": sides.children(str(at))} for at, bib in enumerate(bibs(draw), start=1)
        ],
        "pairs": in_pairs(draw),
        "plan": plan_words(draw),
        "ends": ends_words(draw),
        "turns": _turns(view, sides, missing[0][0] if missing else 0),
        "table": [] if in_pairs(draw) else table(view),
        "scored": any(goals(view, part) for _turn, part, _one in numbered(draw)),
        "ties": ties_words(),
        "enter": missing[0][0] if missing else 0,
        "enter_words": _("Enter %(game)s") % {"game": sides.against(missing[0][1])} if missing else "",
        "notes": _notes(view, present) if viewer.leads else [],
    }  # fmt: skip


def _turns(view: GameView, sides: Sides, next_part: int) -> list[dict[str, Any]]:
    """ahead: games whose page the phone keeps, those that come next."""
    turns: list[dict[str, Any]] = []
    for turn, part, fixture in numbered(view.draw):
        if turn > len(turns):
            turns.append({"number": turn, "games": [], "busy": set()})
        row = _game(view, sides, part, fixture)
        turns[-1]["games"].append({**row, "ahead": next_part <= part < next_part + 2 * view.draw.problem["pitches"]})
        turns[-1]["busy"] |= {*fixture.players}
    for row in turns:
        rest = [str(at + 1) for at in range(len(view.draw.answer["sides"])) if str(at + 1) not in row["busy"]]
        row["resting"] = ", ".join(sides.name(one) for one in rest)
    return turns


def _game(view: GameView, sides: Sides, part: int, fixture: Fixture) -> dict[str, Any]:
    score, rule = goals(view, part), until(view.draw.problem)
    over = score is None or rule is None or rule.winner(*score) is not None
    return {
        "part": part,
        "pitch": fixture.pitch,
        "first": sides.side(fixture.first),
        "second": sides.side(fixture.second),
        "referee": sides.name(fixture.referee) if fixture.referee else "",
        "played": score is not None,
        "score": f"{score[0]} : {score[1]}" if score and not in_pairs(view.draw) else "",
        "short": not over,
        "what": sides.against(fixture),
    }


def plan_words(draw: DrawView) -> str:
    turns, each, whole = len(draw.answer["slots"]), draw.problem["each"], draw.problem["whole"]
    words = ngettext("%(n)d turn of %(each)d minutes.", "%(n)d turns of %(each)d minutes.", turns) % {
        "n": turns,
        "each": each,
    }
    played = [sum(side in one.players for one in slots_of(draw.answer).fixtures) for side in _numbers(draw)]
    least, most = min(played), max(played)
    games = _("Each plays %(n)d games.") % {"n": most}
    if least < most:
        games = _("Each plays %(least)d or %(most)d games.") % {"least": least, "most": most}
        if most - least > 1:
            games = _("Each plays %(least)d to %(most)d games.") % {"least": least, "most": most}
    short = _("There is not time for all %(n)d turns of the table.") % {"n": whole} if turns < whole else ""
    return " ".join(part for part in (words, games, short) if part)


def _numbers(draw: DrawView) -> list[str]:
    return [str(at + 1) for at in range(len(draw.answer["sides"]))]


def ends_words(draw: DrawView) -> str:
    number, lead = draw.problem["goals"], draw.problem["lead"]
    if draw.problem["ends"] == "first":
        ahead = _(", ahead by %(n)d") % {"n": lead} if lead > 1 else ""
        return _("A game is over when a side has %(n)d%(ahead)s, or when its time is.") % {"n": number, "ahead": ahead}
    if draw.problem["ends"] == "best":
        return _("A game is the best of %(n)d: it is over as soon as nobody can catch up.") % {"n": number}
    return _("A game is over when its time is; equal is equal.")


def ties_words() -> list[str]:
    """The rules by which teams stand, in the order in which they are asked."""
    points = engine_league.POINTS
    won = _("Points: %(win)d for a game won, %(draw)d for an equal one, %(loss)d for one lost.")
    known = {
        Tie.BETWEEN: _("Equal points: the points from the games between them."),
        Tie.DIFFERENCE: _("Then goals for less goals against, over all games."),
        Tie.SCORED: _("Then goals for, over all games."),
    }
    last = _("Who is still equal shares the place, and the next place is left out.")
    return [
        won % {"win": points.win, "draw": points.draw, "loss": points.loss},
        *(known[tie] for tie in engine_league.TIES),
        last,
    ]


def _rows(view: GameView) -> tuple[engine_league.Row, ...]:
    draw = view.draw
    found = [
        engine_league.Result(fixture.first[0], fixture.second[0], score)
        for _turn, part, fixture in numbered(draw)
        if (score := goals(view, part))
    ]
    return engine_league.standings(_numbers(draw), found)


def team_sums(view: GameView) -> list[tuple[list[str], int]]:
    """Nothing where each plays for itself."""
    if in_pairs(view.draw) or not any(goals(view, part) for _turn, part, _one in numbered(view.draw)):
        return []
    return [(list(view.draw.answer["sides"][int(row.team) - 1]), row.points) for row in _rows(view)]


def table(view: GameView) -> list[dict[str, Any]]:
    """Of teams, the first at the top."""
    return [
        {
            "bib": bibs(view.draw)[int(row.team) - 1],
            "place": row.place,
            "played": row.played,
            "won": row.won,
            "drawn": row.drawn,
            "lost": row.lost,
            "goals": f"{row.scored} : {row.got}",
            "points": row.points,
            "number": row.team,
        }
        for row in _rows(view)
    ]


def _notes(view: GameView, present: Present) -> list[str]:
    draw, found = view.draw, []
    if not in_pairs(draw):
        test = test_of(present.session.club, draw.problem["test"])
        found.append(
            _("The teams' mean likely times differ by %(s)s s, from times over “%(test)s”.")
            % {"s": f"{draw.proof['apart_s']:.2f}", "test": test.name}
            if test
            else _("Nobody has been timed yet: the teams are equal by age alone.")
        )
    if in_pairs(draw) and any(len(side) > 1 for side in draw.answer["sides"]):
        found.append(_("Names with a stroke share a place: they play turn about."))
    return found


def teams(view: GameView, present: Present) -> list[dict[str, Any]]:
    """For helpers: who is in which team and what it has come to; in two against two who plays, without points."""
    sides = Sides(view.draw, present)
    if in_pairs(view.draw):
        everybody = sorted({one for at in _numbers(view.draw) for one in sides.children(at)}, key=str.casefold)
        return [{"name": "", "children": everybody, "total": ""}]
    points = {row.team: row.points for row in _rows(view)} if view.entries(SCORE) else {}
    return [
        {"name": bib_name(bib), "children": sides.children(str(at)), "total": _points(points.get(str(at)))}
        for at, bib in enumerate(bibs(view.draw), start=1)
    ]


def _points(points: int | None) -> str:
    return "" if points is None else ngettext("%(n)d point", "%(n)d points", points) % {"n": points}


def own(view: GameView, present: Present, child: UUID) -> list[str]:
    """For the child's guardian: its team, and what the teams came to in the order of their colours."""
    draw = view.draw
    number = next((at for at, side in enumerate(draw.answer["sides"]) if str(child) in side), None)
    if number is None:
        return []
    if in_pairs(draw):
        return [_("Played two against two, with a new partner each time.")]
    points = {row.team: row.points for row in _rows(view)} if view.entries(SCORE) else {}
    told = [f"{bib_name(bib)}: {_points(points[str(at)])}" for at, bib in enumerate(bibs(draw), start=1) if points]
    return [_("Team %(team)s.") % {"team": bib_name(bibs(draw)[number])}, *([", ".join(told) + "."] if told else [])]


def entering(view: GameView, present: Present, viewer: Viewer, part: int) -> dict[str, Any]:
    """One game's score, counted by taps or written."""
    found = next(((turn, one) for turn, number, one in numbered(view.draw) if number == part), None)
    if found is None:
        raise RefusedError(_("There is no such game: look again."))
    turn, fixture = found
    sides, said = Sides(view.draw, present), view.last(SCORE, view.draw.round, part)
    score = goals(view, part)
    rule = until(view.draw.problem)
    return {
        "title": sides.against(fixture),
        "where": _("Turn %(turn)d, pitch %(pitch)d") % {"turn": turn, "pitch": fixture.pitch},
        "ends": ends_words(view.draw),
        "referee": sides.name(fixture.referee) if fixture.referee else "",
        "sides": [
            {"field": field, **sides.side(ids), "typed": score[at] if score else ""}
            for at, (field, ids) in enumerate((("first", fixture.first), ("second", fixture.second)))
        ],
        "rule": {"first_to": rule.first_to, "best_of": rule.best_of, "lead": rule.lead} if rule else {},
        "by": said.by_name if said else "",
        "blank": said is None,
    }


def standing(view: GameView, present: Present) -> dict[str, Any]:
    """For the head coach alone: in two against two what each child's games came to."""
    sides = Sides(view.draw, present)
    won: dict[str, list[int]] = {number: [0, 0, 0] for number in _numbers(view.draw)}
    for _turn, part, fixture in numbered(view.draw):
        score = goals(view, part)
        for at, players in enumerate((fixture.first, fixture.second) if score else ()):
            for number in players:
                games, wins, points = won[number]
                won[number] = [games + 1, wins + (score[at] > score[1 - at]), points + score[at]]  # type: ignore[index]
    rows = [
        {"name": sides.name(number), "games": games, "won": wins, "points": points}
        for number, (games, wins, points) in won.items()
    ]
    ordered = sorted(rows, key=lambda row: (-int(row["won"]), -int(row["points"]), str(row["name"])))  # type: ignore[call-overload]
    return {"rows": ordered, "pairs": in_pairs(view.draw), "notes": _notes(view, present)}
