"""A game by the bell: begun, whose turn it is, and who was touched, one tap each."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET
from django.views.decorators.vary import vary_on_headers

from clubapp.games.access import game_for
from clubapp.games.kinds import known_kind
from clubapp.games.models import Game
from clubapp.games.present import present_of
from clubapp.games.queries import view_of
from clubapp.live import page, playing
from clubapp.live.access import Watcher
from clubapp.live.views import common
from clubapp.live.views.bell import context_of


@common.inside
@require_GET
@vary_on_headers("HX-Request")
def game(request: HttpRequest, watcher: Watcher, game_id: UUID) -> HttpResponse:
    """For adults with an account. A game that is over, or has nothing to tap here, stands on its own page.

    One that is to begin has its clock and tally ahead, for a phone without a network begins it too.
    """
    if watcher.user is None:
        raise Http404
    row = game_for(watcher.user, watcher.session.pk, game_id)
    kind, view = known_kind(row.kind), view_of(row)
    if row.state == Game.State.OVER or kind.tally is None:
        return redirect("games:game", watcher.session.pk, row.pk)
    tally = kind.tally(view, present_of(watcher.session, view.children))
    words = playing.tally_words(view)
    context = context_of(page.evening_of(watcher), game=row, kind=kind, tally=tally, tally_words=words, draw=view.draw)
    return render(request, f"live/game.html{'#field' if common.is_fragment(request) else ''}", context)
