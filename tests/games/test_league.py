"""Small-sided and wall games: equal teams in two taps, a score a tap, the table, who comes late."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from clubapp.engine import groups as engine_groups
from clubapp.engine import league as engine_league
from clubapp.games import leagues_shown
from clubapp.games.actions import RefusedError, fit_in, take_out
from clubapp.games.leagues_bridge import fixtures_problem, groups_problem, slots_of
from clubapp.games.models import Entry, Game
from clubapp.games.present import present_of
from tests.cast import Cast, make_child
from tests.games.evening import address, everybody_here, made, mark, names, post, say, view


def sides(game: Game) -> list[list[str]]:
    found: list[list[str]] = view(game).draw.answer["sides"]
    return found


def score(cast: Cast, game: Game, part: int, first: Any, second: Any) -> Any:
    sent = {"what": "score", "part": part, "round": 1, "first": first, "second": second}
    answer = post(cast.client(cast.finn), game, "enter", **sent)
    game.refresh_from_db()
    return answer


def shown(cast: Cast, game: Game) -> Any:
    return cast.client(cast.finn).get(address(game)).context["page"].shown


def test_teams_and_games_are_the_engine_s(cast: Cast) -> None:
    here = everybody_here(cast, 9)
    client = cast.client(cast.hazel)
    game = made(cast, "small", teams=4, pitches=1, minutes=60)
    draw = view(game).draw
    asked = groups_problem(draw.problem, draw.problem["children"], cast.session.date)
    assert engine_groups.violations(asked, engine_groups.Answer.of(sides(game))) == []
    table = fixtures_problem(draw.problem, ["1", "2", "3", "4"])
    assert engine_league.violations(table, slots_of(draw.answer)) == []
    assert {child for side in sides(game) for child in side} == {str(child.pk) for child in here}
    page = client.get(address(game)).content.decode()
    assert "6 turns of 4 minutes. Each plays 3 games." in page
    assert "mean likely times differ by" in page
    assert "mean likely times" not in cast.client(cast.finn).get(address(game)).content.decode()
    assert "not time for all 6 turns" in leagues_shown.plan_words(
        view(made(cast, "small", teams=4, pitches=1, minutes=12)).draw
    )


def test_scores_make_the_table_and_the_newest_counts(cast: Cast) -> None:
    everybody_here(cast, 6, timed=False)
    game = made(cast, "small", teams=3, pitches=1, minutes=30)
    games = list(leagues_shown.numbered(view(game).draw))
    assert score(cast, game, 1, 2, 1).status_code == 302
    score(cast, game, 1, 0, 3)
    first, second = games[0][2].first[0], games[0][2].second[0]
    table = {row["number"]: row for row in shown(cast, game)["table"]}
    assert (table[second]["points"], table[second]["goals"], table[first]["points"]) == (3, "3 : 0", 0)
    assert shown(cast, game)["enter"] == 2
    page = cast.client(cast.finn).get(address(game)).content.decode()
    assert "0 : 3" in page
    assert "Equal points: the points from the games between them." in page
    score(cast, game, 1, "", "")
    assert not shown(cast, game)["scored"]


def test_what_was_typed_wrong_names_the_field_and_is_not_lost(cast: Cast) -> None:
    everybody_here(cast, 6, timed=False)
    game = made(cast, "wall", teams=3)
    answer = score(cast, game, 1, 4, "")
    assert answer.status_code == 422
    assert "Write both" in answer.content.decode()
    assert 'name="first" value="4"' in answer.content.decode()
    assert score(cast, game, 99, 1, 1).status_code == 302
    assert not Entry.objects.exists()
    sent, make = {"kind": "wall", "ends": "best", "goals": "4"}, reverse("games:make", args=[cast.session.pk])
    assert cast.client(cast.finn).post(make, sent).status_code == 404  # an assistant makes no games
    assert "Best of an odd number" in cast.client(cast.hazel).post(make, sent).content.decode()


def test_a_late_child_and_one_who_leaves_move_nobody_and_no_game(cast: Cast) -> None:
    here = everybody_here(cast, 8)
    game = made(cast, "small", here[:7], teams=2)
    before, slots = [set(side) for side in sides(game)], view(game).draw.answer["slots"]
    score(cast, game, 1, 1, 0)
    late = str(here[7].pk)
    fit_in(game=game, athlete_id=here[7].pk, by=cast.hazel)
    assert [set(side) - {late} for side in sides(game)] == before
    assert [len(side) for side in sides(game)] == [4, 4]
    assert view(game).draw.answer["slots"] == slots
    assert shown(cast, game)["turns"][0]["games"][0]["score"] == "1 : 0"
    take_out(game=game, athlete_id=here[7].pk, by=cast.hazel)
    assert [set(side) for side in sides(game)] == before


def test_with_new_partners_points_of_single_children_are_the_head_coach_s(cast: Cast) -> None:
    here = everybody_here(cast, 6, timed=False)
    game = made(cast, "wall", here[:5], how="pairs", pitches=1, minutes=30)
    assert sorted(map(len, sides(game))) == [1, 1, 1, 2]
    score(cast, game, 1, 7, 5)
    page = cast.client(cast.finn).get(address(game)).content.decode()
    assert "7 : 5" not in page
    assert "played" in page
    assert "How the teams stand" not in page
    rows = cast.client(cast.hazel).get(address(game, "standing")).context["shown"]["rows"]
    assert [row["points"] for row in rows] == [7, 7, 5, 5]
    assert cast.client(cast.finn).get(address(game, "standing")).status_code == 404
    fit_in(game=game, athlete_id=here[5].pk, by=cast.hazel)
    assert sorted(map(len, sides(game))) == [1, 1, 2, 2]
    alone = next(side[0] for side in sides(game) if len(side) == 1)
    take_out(game=game, athlete_id=next(child.pk for child in here if str(child.pk) == alone), by=cast.hazel)
    assert sorted(map(len, sides(game))) == [1, 1, 1, 2]
    with pytest.raises(RefusedError, match="pairs cannot be kept apart"):
        made(cast, "wall", here[:4], how="pairs", **apart(cast, here[:2]))


def apart(cast: Cast, children: list[Any]) -> dict[str, bool]:
    from clubapp.people.models import PairRule

    PairRule.objects.create(club=cast.club, kind=PairRule.Kind.APART).athletes.set(children)
    return {"apart": True}


def test_helpers_and_guardians_read_teams_and_their_points(cast: Cast) -> None:
    everybody_here(cast, 6, timed=False)
    game = made(cast, "small", teams=2)
    score(cast, game, 1, 2, 0)
    from clubapp.games.leagues import SMALL_SIDED

    assert SMALL_SIDED.teams is not None
    assert SMALL_SIDED.own is not None
    helped = SMALL_SIDED.teams(view(game), present_of(cast.session))
    assert [team["children"] for team in helped] == [sorted(names(side)) for side in sides(game)]
    assert sorted(team["total"] for team in helped) == ["0 points", "3 points"]
    told = SMALL_SIDED.own(view(game), present_of(cast.session), cast.ada.pk)
    assert told[0] in ("Team Red.", "Team Blue.")
    assert "3 points" in told[1]
    say(game, "end", cast.hazel)
    with pytest.raises(RefusedError, match="over"):
        say(game, "score", cast.finn, 1, goals=[1, 1])
    late = make_child(cast.club, cast.squad, "Zoe")
    mark(cast.session, late)
