"""Two records of one child that were both drawn into a game: one place is the child's, the other is nobody's."""

from __future__ import annotations

from clubapp.games.models import Draw, Game
from clubapp.people import actions
from tests.cast import Cast, make_child
from tests.games.evening import everybody_here, heats_of, made, mark, run_heat, view


def test_the_child_has_the_place_it_ran_in_and_an_open_game_loses_the_other(cast: Cast) -> None:
    here = everybody_here(cast, timed=False)
    ada, double = here[0], make_child(cast.club, cast.squad, "Ada")
    mark(cast.session, double)
    gone = str(double.pk)
    open_one, over = made(cast), made(cast)
    others = [str(child.pk) for child in here[1:]]
    heats = [[gone, *others[:2]], [str(ada.pk), *others[2:]]]
    drawn = {"heats": [[[lane, child] for lane, child in enumerate(heat, start=1)] for heat in heats]}
    Draw.objects.filter(game=over).update(answer=drawn)
    order = run_heat(over, 1, cast.hazel, timed=False)
    Game.objects.filter(pk=over.pk).update(state=Game.State.OVER)
    before = heats_of(over)
    actions.merge_children(stays=ada, double=double, by=cast.hazel)

    assert set(view(open_one).children) == {child.pk for child in here}
    assert sum(len(heat) for heat in heats_of(open_one)) == len(here)

    now = heats_of(over)
    assert [len(heat) for heat in now] == [len(heat) for heat in before], "nobody's place moves"
    assert gone not in str(now)
    assert now[0][0] == str(ada.pk), "where it ran"
    assert str(ada.pk) not in now[1]
    entered = view(over).last("finish", 1, 1)
    assert entered is not None
    assert entered.data["places"][str(ada.pk)] == order.index(gone) + 1
