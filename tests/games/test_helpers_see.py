"""What somebody with a pass sees of a game: who is in it, by first name, and no order."""

from __future__ import annotations

from django.urls import reverse

from clubapp.games.actions import draw_next
from clubapp.games.models import Game
from clubapp.people.models import Athlete
from tests.cast import Cast
from tests.games.evening import SPRINT, address, everybody_here, heats_of, made, names, run_heat, say, view
from tests.live.evening import helper, pass_of


def test_a_helper_reads_first_names_by_letter_and_neither_place_nor_time(cast: Cast) -> None:
    everybody_here(cast, timed=False)
    game = made(cast)
    run_heat(game, 1, cast.hazel)
    client, _visitor = helper(pass_of(cast), cast.hazel)
    page = client.get(f"/bell/{cast.session.pk}/")
    (strip,) = page.context["games_on"]
    assert [team["children"] for team in strip["teams"]] == [sorted(names(heat)) for heat in heats_of(game)]
    assert {"".join(map(str, team["total"])) for team in strip["teams"]} == {""}
    assert address(game) not in page.content.decode()


def test_a_helper_at_the_gate_reads_nothing_of_it(cast: Cast) -> None:
    everybody_here(cast, timed=False)
    run_heat(made(cast), 1, cast.hazel)
    client, _visitor = helper(pass_of(cast), None)
    response = client.get(f"/bell/{cast.session.pk}/")
    assert response.status_code == 302


def test_a_helper_opens_no_page_of_games(cast: Cast) -> None:
    everybody_here(cast, timed=False)
    game = made(cast)
    client, _visitor = helper(pass_of(cast), cast.hazel)
    for action in ("game", "enter", "standing"):
        assert "/sign-in/" in client.get(address(game, action))["Location"]


def test_a_guardian_reads_of_its_own_child_and_of_teams_alone(cast: Cast) -> None:
    """Of every kind: who else was in it, places and finals stay unsaid."""
    here = everybody_here(cast, timed=False)
    game = made(cast, after="for all", lanes=3)
    for part in (1, 2):
        run_heat(game, part, cast.hazel, timed=False)
    game.refresh_from_db()
    draw_next(game=game, by=cast.hazel)
    relay = made(cast, "relays", teams=2)
    say(relay, "finish", cast.hazel, 1, places={"1": 1, "2": 2})
    handicap = made(cast, "handicaps", how="metres", test=SPRINT)
    say(handicap, "finish", cast.hazel, 1, places={str(cast.ada.pk): 1})
    page = cast.client(cast.greta).get(reverse("family:child", args=[cast.ada.pk]))
    (been,) = page.context["child"].been
    heat = next(number for number, ids in enumerate(drawn(game), start=1) if str(cast.ada.pk) in ids)
    words = {str(told.name): " ".join(told.words) for told in been.games}
    assert words["Heats"] == f"Heat {heat}. Then a final."
    assert "Red: 2 points, Blue: 1 points." in words["Relay"]
    assert words["Handicap race"] == "Ran in 1 of the races, each with a start of its own."
    others = [child.first_name for child in here if child.pk != cast.ada.pk and child not in own_of(cast)]
    assert [name for name in others if name in page.content.decode()] == []


def drawn(game: Game) -> list[list[str]]:
    return [[child for _lane, child in heat] for heat in view(game).draws[0].answer["heats"]]


def own_of(cast: Cast) -> list[Athlete]:
    return list(Athlete.objects.filter(adults__guardian__user=cast.greta))


def test_who_leads_finds_the_order_and_the_way_out_of_a_game(cast: Cast) -> None:
    everybody_here(cast, timed=False)
    game = made(cast)
    page = cast.client(cast.hazel).get(address(game)).content.decode()
    assert address(game, "standing") in page
    assert address(game, "out") in page
    assert address(game, "standing") not in cast.client(cast.finn).get(address(game)).content.decode()
