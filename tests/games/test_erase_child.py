"""Nothing leads from a game to a child who was erased, and others keep their places."""

from __future__ import annotations

import json

from clubapp.core.registry import registry
from clubapp.games.models import Draw, Entry, Term
from clubapp.people import actions
from tests.cast import Cast
from tests.games.evening import everybody_here, heats_of, made, run_heat


def test_the_child_becomes_somebody_nobody_knows_another_in_each_game(cast: Cast) -> None:
    here = everybody_here(cast, timed=False)
    games = [made(cast), made(cast)]
    for game in games:
        for part in (1, 2):
            run_heat(game, part, cast.hazel, timed=False)
    child, before = str(here[0].pk), [heats_of(game) for game in games]
    teams = [[child, str(here[1].pk)], [str(here[2].pk)]]
    Term.objects.create(squad=cast.squad, begins=cast.session.date, ends=cast.session.date, teams=teams)
    actions.erase_athlete(athlete=here[0], by=cast.hazel)
    rows = [*Draw.objects.all(), *Entry.objects.all()]
    assert child not in json.dumps(
        [[getattr(row, "problem", ""), getattr(row, "answer", ""), getattr(row, "data", "")] for row in rows]
    )
    assert Term.objects.get().teams == [[str(here[1].pk)], [str(here[2].pk)]]
    strangers = set()
    for game, heats in zip(games, before, strict=True):
        now = heats_of(game)
        changed = {
            (a, b) for one, other in zip(heats, now, strict=True) for a, b in zip(one, other, strict=True) if a != b
        }
        assert {a for a, _b in changed} == {child}
        strangers |= {b for _a, b in changed}
    assert len(strangers) == 2


def test_the_record_for_the_family_names_the_games_and_no_place(cast: Cast) -> None:
    here = everybody_here(cast, timed=False)
    game = made(cast, children=here[1:])
    run_heat(game, 1, cast.hazel, timed=False)
    assert registry.exporters["games"](here[0].pk) == []
    (row,) = registry.exporters["games"](here[1].pk)
    assert set(row) == {"session", "game", "number"}
