"""What somebody with a pass sees of a game: who is in it, by first name, and no order."""

from __future__ import annotations

from tests.cast import Cast
from tests.games.evening import address, everybody_here, heats_of, made, names, run_heat
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
