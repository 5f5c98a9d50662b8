"""What every kind of game promises, whichever it is."""

from __future__ import annotations

from django.urls import reverse

from clubapp.games.actions import fit_in
from clubapp.games.kinds import ALL
from clubapp.games.models import Game
from clubapp.people.models import Athlete
from tests.cast import Cast, make_child
from tests.games.evening import address, everybody_here, mark, view


def test_ready_in_three_taps_on_paper_without_a_network_and_for_who_comes_late(cast: Cast) -> None:
    """The first tap is the kind in the list of games, the second makes it, the third starts it."""
    here = everybody_here(cast, 6)
    late = make_child(cast.club, cast.squad, "Zoe")
    Athlete.objects.update(date_of_birth=here[0].date_of_birth)  # one field for chasing
    client, where = cast.client(cast.hazel), reverse("games:games", args=[cast.session.pk])
    offered = client.get(where).content.decode()
    mark(cast.session, late)
    assert len(ALL) == 10
    for kind in ALL:
        new = reverse("games:new", args=[cast.session.pk])
        assert f"{new}?kind={kind.code}" in offered
        form = client.get(new, {"kind": kind.code}).context["form"]
        fields = {name: value for name, value in form.initial.items() if value not in (None, False)}
        fields |= {"kind": kind.code, "children": [str(child.pk) for child in here]}
        page = client.post(reverse("games:make", args=[cast.session.pk]), fields, follow=True).content.decode()
        game = Game.objects.latest("number")
        assert (game.kind, game.state) == (kind.code, Game.State.READY), kind.code
        assert "data-print" in page, kind.code
        for child in here:
            assert child.given_name in page, (kind.code, child)
        if kind.entering:  # its page is there ahead, and may lie on the phone blank
            assert client.get(address(game, "enter") + "1/").context["shown"]["blank"], kind.code
            assert f'href="{address(game, "enter")}1/" data-also' in page, kind.code
        draw = fit_in(game=game, athlete_id=late.pk, by=cast.hazel)
        assert late.pk in view(game).draw.children, kind.code
        assert "Zoe" in client.get(address(game)).content.decode(), kind.code
        assert draw.why == "late"
