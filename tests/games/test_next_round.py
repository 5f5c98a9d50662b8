"""What comes after a round of heats, and children who come or go meanwhile."""

from __future__ import annotations

import pytest

from clubapp.games.models import Draw
from tests.cast import Cast, make_child
from tests.games.evening import address, everybody_here, heats_of, made, mark, post, run_heat, say, view


@pytest.mark.parametrize("name", ["sal", "olga", "greta", "wanda", "finn"])
@pytest.mark.parametrize("action", ["next", "fit", "out", "drop", "end"])
def test_only_who_runs_the_session_changes_a_game(cast: Cast, name: str, action: str) -> None:
    everybody_here(cast, timed=False)
    game = made(cast)
    assert post(cast.client(getattr(cast, name)), game, action, athlete=cast.ada.pk).status_code == 404
    assert Draw.objects.count() == 1


def test_a_heat_that_is_missing_is_named(cast: Cast) -> None:
    everybody_here(cast, timed=False)
    game = made(cast)
    run_heat(game, 1, cast.finn)
    response = cast.client(cast.hazel).post(address(game, "next"), follow=True)
    assert "Heat 2 has not been entered yet." in response.content.decode()


def test_everybody_who_ran_races_again_with_those_of_like_places(cast: Cast) -> None:
    everybody_here(cast, 8, timed=False)
    game = made(cast)
    came = [run_heat(game, part, cast.finn) for part in (1, 2)]
    post(cast.client(cast.hazel), game, "next")
    slow, quick = heats_of(game)
    assert set(quick) == {heat[place] for heat in came for place in (0, 1)}
    assert set(slow) == {heat[place] for heat in came for place in (2, 3)}
    assert view(game).draw.round == 2


def test_who_fell_races_again_and_who_did_not_start_does_not(cast: Cast) -> None:
    everybody_here(cast, timed=False)
    game = made(cast)
    first, second, third = heats_of(game)[0]
    say(game, "finish", cast.finn, 1, places={first: 1}, states={second: "did not finish", third: "did not start"})
    run_heat(game, 2, cast.finn)
    post(cast.client(cast.hazel), game, "next")
    again = {child for heat in heats_of(game) for child in heat}
    assert second in again
    assert third not in again


def test_one_final_by_place_and_then_by_time(cast: Cast) -> None:
    everybody_here(cast, 8, timed=False)
    game = made(cast, after="best", lanes=4)
    came = [run_heat(game, 1, cast.finn, quick=True), run_heat(game, 2, cast.finn)]
    post(cast.client(cast.hazel), game, "next")
    (final,) = heats_of(game)
    assert set(final) == {heat[place] for heat in came for place in (0, 1)}
    assert (
        "There is no round after this one."
        in cast.client(cast.hazel).post(address(game, "next"), follow=True).content.decode()
    )


def test_a_late_child_gets_a_free_lane_and_nobody_moves(cast: Cast) -> None:
    everybody_here(cast, 7, timed=False)
    game = made(cast)
    before, late = heats_of(game), make_child(cast.club, cast.squad, "Late")
    mark(cast.session, late)
    page = cast.client(cast.hazel).get(address(game))
    assert [row.name for row in page.context["page"].late] == ["Late"]
    post(cast.client(cast.hazel), game, "fit", athlete=late.pk)
    after = heats_of(game)
    assert [[child for child in heat if child != str(late.pk)] for heat in after] == before
    assert sorted(map(len, after)) == [4, 4]


def test_where_every_lane_is_taken_one_child_moves(cast: Cast) -> None:
    everybody_here(cast, 8, timed=False)
    game = made(cast)
    before, late = heats_of(game), make_child(cast.club, cast.squad, "Late")
    mark(cast.session, late)
    post(cast.client(cast.hazel), game, "fit", athlete=late.pk)
    after = heats_of(game)
    assert len(after) == 3
    assert [len(set(old) - set(new)) for old, new in zip(before, after, strict=False)].count(1) == 1
    assert str(late.pk) in after[2]


def test_a_heat_that_has_run_takes_nobody_in(cast: Cast) -> None:
    everybody_here(cast, 6, timed=False)
    game = made(cast)
    for part in (1, 2):
        run_heat(game, part, cast.finn)
    late = make_child(cast.club, cast.squad, "Late")
    mark(cast.session, late)
    response = cast.client(cast.hazel).post(address(game, "fit"), {"athlete": late.pk}, follow=True)
    assert "Every heat of this round has run" in response.content.decode()


def test_who_is_not_here_or_only_watches_is_not_fitted_in(cast: Cast) -> None:
    here = everybody_here(cast, 6, timed=False)
    game = made(cast, children=here[1:])
    mark(cast.session, here[0], "easy", leave_out=["watching"])
    away = make_child(cast.club, cast.squad, "Una")
    for child in (here[0], away):
        post(cast.client(cast.hazel), game, "fit", athlete=child.pk)
    assert view(game).children == {child.pk for child in here[1:]}


def test_a_child_is_taken_out_and_nobody_moves(cast: Cast) -> None:
    here = everybody_here(cast, 6, timed=False)
    game = made(cast)
    before = heats_of(game)
    post(cast.client(cast.hazel), game, "out", athlete=here[0].pk)
    assert heats_of(game) == [[child for child in heat if child != str(here[0].pk)] for heat in before]


@pytest.mark.parametrize("name", ["sal", "olga", "greta", "wanda", "finn"])
def test_the_order_is_the_head_coach_s_alone(cast: Cast, name: str) -> None:
    everybody_here(cast, timed=False)
    cast.session.leader = cast.finn
    cast.session.save()
    game = made(cast)
    assert cast.client(getattr(cast, name)).get(address(game, "standing")).status_code == 404


def test_the_coach_reads_places_times_and_words(cast: Cast) -> None:
    everybody_here(cast, timed=False)
    game = made(cast)
    first, second, third = heats_of(game)[0]
    say(game, "finish", cast.finn, 1, places={first: 1, second: 1}, times={first: 7400}, states={third: "disqualified"})
    page = cast.client(cast.hazel).get(address(game, "standing"))
    (heat,) = page.context["shown"]["rounds"][0]["heats"]
    assert sorted((row["place"], row["words"]) for row in heat["rows"] if row["place"]) == [(1, ""), (1, "")]
    assert heat["rows"][2]["words"] == "disqualified"


def test_the_bell_shows_the_game_that_runs(cast: Cast) -> None:
    everybody_here(cast, timed=False)
    game = made(cast)
    bell = f"/bell/{cast.session.pk}/"
    assert address(game) not in cast.client(cast.finn).get(bell).content.decode()
    say(game, "begin", cast.finn)
    assert address(game) in cast.client(cast.finn).get(bell).content.decode()
