"""Stop-and-go games: the line, who moved, whoever was first further back, and no place on a page that phones keep."""

from __future__ import annotations

from typing import Any

import pytest

from clubapp.games.actions import RefusedError, draw_next, fit_in, take_out
from clubapp.games.models import Game
from clubapp.games.present import present_of
from clubapp.games.stopgo import STOP_GO
from tests.cast import Cast
from tests.games.evening import address, everybody_here, made, post, view


def run(cast: Cast, game: Game, **fields: Any) -> Any:
    sent = {"what": "finish", "part": 1, "round": view(game).draw.round, **fields}
    answer = post(cast.client(cast.finn), game, "enter", **sent)
    game.refresh_from_db()
    return answer


def test_whoever_was_first_starts_further_back_and_nobody_else_is_told_a_place(cast: Cast) -> None:
    here = [str(child.pk) for child in everybody_here(cast, 5, timed=False)]
    game = made(cast, "stopgo", metres=24)
    with pytest.raises(RefusedError, match="not been entered"):
        draw_next(game=game, by=cast.hazel)
    assert run(cast, game, **{f"place_{here[0]}": 1, f"place_{here[1]}": 2, f"moved_{here[2]}": 3}).status_code == 302
    assert view(game).said[-1].data == {"places": {here[0]: 1, here[1]: 2}, "states": {}, "moved": {here[2]: 3}}
    page = cast.client(cast.hazel).get(address(game)).context["page"].shown
    assert page["back"] == []
    draw_next(game=game, by=cast.hazel)
    assert view(game).draw.answer["back"] == {here[0]: 3}
    text = cast.client(cast.finn).get(address(game)).content.decode()
    assert "3 m back" in text
    assert "three long steps back" in text
    (row, *_rest) = cast.client(cast.hazel).get(address(game, "standing")).context["shown"]["runs"][0]["rows"]
    assert (row["name"], row["place"]) == (present_of(cast.session).name(here[0]), 1)
    assert cast.client(cast.finn).get(address(game, "standing")).status_code == 404
    assert STOP_GO.own is not None
    assert STOP_GO.own(view(game), present_of(cast.session), cast.ada.pk) == ["Was in 1 run."]
    for _run in range(6):
        run(cast, game, **{f"place_{here[0]}": 1})
        draw_next(game=game, by=cast.hazel)
    assert view(game).draw.answer["back"] == {here[0]: 12}  # never more than half of the way


def test_what_is_typed_wrong_is_told_and_not_lost(cast: Cast) -> None:
    here = [str(child.pk) for child in everybody_here(cast, 4, timed=False)]
    game = made(cast, "stopgo")
    answer = run(cast, game, **{f"moved_{here[0]}": "x", f"place_{here[1]}": 1})
    assert answer.status_code == 422
    assert f'name="moved_{here[0]}" value="x"' in answer.content.decode()
    assert f'name="place_{here[1]}" value="1"' in answer.content.decode()
    assert "as they come over the line" in run(cast, game).content.decode()
    assert view(game).said == ()
    enter = cast.client(cast.finn).get(address(game, "enter") + "1/")
    assert enter.context["shown"]["signals"]["go"] == {"least_ms": 1500, "tau_ms": 1200, "most_ms": 5000}


def test_a_late_child_joins_the_line_and_one_who_leaves_takes_its_mark_along(cast: Cast) -> None:
    here = everybody_here(cast, 5, timed=False)
    game = made(cast, "stopgo", here[:4])
    run(cast, game, **{f"place_{here[0].pk}": 1})
    draw_next(game=game, by=cast.hazel)
    fit_in(game=game, athlete_id=here[4].pk, by=cast.hazel)
    assert here[4].pk in view(game).draw.children
    take_out(game=game, athlete_id=here[0].pk, by=cast.hazel)
    assert view(game).draw.answer["back"] == {}
