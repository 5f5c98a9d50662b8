"""Relays: equal teams in two taps, turns at running twice, team results for everybody."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.urls import reverse

from clubapp.engine import relay as engine_relay
from clubapp.games import bridge
from clubapp.games.actions import RefusedError, draw_next, fit_in, take_out
from clubapp.games.models import Game
from tests.cast import Cast, make_child
from tests.games.evening import SPRINT, address, everybody_here, made, mark, names, post, say, view

WISHES: dict[str, Any] = {"test": SPRINT, "teams": 2, "course": "shuttle", "leg_m": None, "apart": False}


def relay(cast: Cast, children: int = 7, **wishes: Any) -> Game:
    everybody_here(cast, children)
    return made(cast, "relays", **{**WISHES, **wishes})


def problem_of(game: Game) -> engine_relay.Problem:
    draw = view(game).draw
    return bridge.relay_problem(draw.problem, draw.problem["likely"])


def teams(game: Game) -> list[list[str]]:
    return [list(team) for team in view(game).draw.answer["teams"]]


def come_in(game: Game, cast: Cast, *order: int) -> None:
    say(game, "finish", cast.finn, 1, places={str(team): at + 1 for at, team in enumerate(order)})
    game.refresh_from_db()


def test_two_taps_to_teams_that_are_the_engine_s(cast: Cast) -> None:
    here = everybody_here(cast, 9)
    client = cast.client(cast.hazel)
    asking = client.get(reverse("games:new", args=[cast.session.pk]), {"kind": "relays"})
    initial = asking.context["form"].initial
    fields = {name: value for name, value in initial.items() if value not in (None, False)}
    fields |= {"kind": "relays", "children": [str(row.id) for row in asking.context["rows"] if row.ticked]}
    page = client.post(reverse("games:make", args=[cast.session.pk]), fields, follow=True).content.decode()
    game = Game.objects.get()
    answer = bridge.relay_teams(view(game).draw.answer)
    assert engine_relay.violations(problem_of(game), answer) == []
    assert engine_relay.score(problem_of(game), answer) == view(game).draw.proof["score"]
    assert {child for team in teams(game) for child in team} == {str(child.pk) for child in here}
    assert "runs twice" in page
    assert "far end" in page
    assert "likely totals differ by" in page
    assert "likely totals" not in cast.client(cast.finn).get(address(game)).content.decode()


def test_running_twice_goes_round_and_spares_who_goes_easy(cast: Cast) -> None:
    here = everybody_here(cast, 7)
    mark(cast.session, here[0], "easy", leave_out=["jumps"])
    twice: list[str] = []
    for seed in range(6):
        game = made(cast, "relays", here, seed, **WISHES)
        twice += bridge.relay_teams(view(game).draw.answer).twice
        say(game, "begin", cast.hazel)
    assert sorted(twice) == sorted(str(child.pk) for child in here[1:])


def test_points_go_by_rank_and_everybody_sees_them(cast: Cast) -> None:
    game = relay(cast, 9, teams=3)
    come_in(game, cast, 2, 1, 3)
    draw_next(game=game, by=cast.hazel)
    assert [team["points"] for team in game_page(cast, game)["teams"]] == [2, 3, 1]
    say(game, "finish", cast.finn, 1, places={"1": 1, "2": 1}, states={"3": "did not finish"})
    assert [team["points"] for team in game_page(cast, game)["teams"]] == [5, 6, 1]
    from clubapp.games.present import present_of
    from clubapp.games.relays import RELAYS

    assert RELAYS.teams is not None
    helped = RELAYS.teams(view(game), present_of(cast.session))
    assert [team["total"] for team in helped] == ["5 points", "6 points", "1 points"]
    assert [team["children"] for team in helped] == [sorted(set(names(team))) for team in teams(game)]


def game_page(cast: Cast, game: Game) -> Any:
    return cast.client(cast.finn).get(address(game)).context["page"].shown


def test_times_of_legs_are_for_the_head_coach_alone(cast: Cast) -> None:
    game = relay(cast)
    legs = cast.client(cast.hazel).get(address(game, "standing")).context["shown"]["teams"][0]["legs"]
    assert [leg["name"] for leg in legs] == names(teams(game)[0])
    assert cast.client(cast.finn).get(address(game, "standing")).status_code == 404
    text = "".join(cast.client(cast.finn).get(address(game, action)).content.decode() for action in ("game", "enter"))
    assert [leg for leg in legs if f">{leg['likely']}<" in text] == []


def test_a_late_child_and_one_who_leaves_move_nobody_else(cast: Cast) -> None:
    game = relay(cast)
    before = [set(team) for team in teams(game)]
    late = make_child(cast.club, cast.squad, "Zoe")
    mark(cast.session, late)
    fit_in(game=game, athlete_id=late.pk, by=cast.hazel)
    assert [set(team) - {str(late.pk)} for team in teams(game)] == before
    assert bridge.relay_teams(view(game).draw.answer).twice == ()
    take_out(game=game, athlete_id=late.pk, by=cast.hazel)
    assert [set(team) for team in teams(game)] == before
    assert engine_relay.score(problem_of(game), bridge.relay_teams(view(game).draw.answer)) == pytest.approx(
        view(game).draw.proof["score"]
    )
    come_in(game, cast, 1, 2)
    with pytest.raises(RefusedError, match="This race has run"):
        fit_in(game=game, athlete_id=late.pk, by=cast.hazel)


def test_an_open_page_gets_the_new_order_and_nothing_while_it_is_the_same(cast: Cast) -> None:
    game = relay(cast)
    client, late = cast.client(cast.finn), make_child(cast.club, cast.squad, "Zoe")
    mark(cast.session, late)
    page = client.get(address(game))
    (asked,) = re.findall(r'hx-get="([^"]+)"[^>]* hx-select="#drawn"', page.content.decode())
    headers = {"HX-Request": "true"}
    assert client.get(asked, headers=headers).status_code == 204
    fit_in(game=game, athlete_id=late.pk, by=cast.hazel)
    changed = client.get(asked, headers=headers)
    assert "Zoe" in changed.content.decode()
    assert 'id="drawn"' in changed.content.decode()


@pytest.mark.parametrize(("metres", "words"), [(40, "behind the line"), (100, "20 m before the line to 10 m after")])
def test_zones_stand_where_a_leg_is_long_enough(cast: Cast, metres: int, words: str) -> None:
    everybody_here(cast, timed=False)
    game = made(cast, "relays", **{**WISHES, "leg_m": metres, "course": "circuit"})
    text = cast.client(cast.finn).get(address(game)).content.decode()
    assert words in text
    assert "far end" not in text


def test_what_does_not_fit_is_told_on_the_page(cast: Cast) -> None:
    here = everybody_here(cast, timed=False)
    fields = {"kind": "relays", "children": [str(child.pk) for child in here], "course": "shuttle", "order": "by lot"}
    client = cast.client(cast.hazel)
    response = client.post(reverse("games:make", args=[cast.session.pk]), {**fields, "teams": "9"})
    assert response.status_code == 422
    assert "more teams than children" in response.content.decode()
    game = made(cast, "relays", **WISHES)
    sent = {"what": "finish", "part": "1", "round": "1", "place_1": "x"}
    assert post(cast.client(cast.finn), game, "enter", **sent).status_code == 422
    with pytest.raises(RefusedError, match="has not been entered"):
        draw_next(game=game, by=cast.hazel)
