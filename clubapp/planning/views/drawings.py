"""The drawing of an activity, changed tap by tap: the page carries it and its steps until it is kept."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from clubapp.core.diagram import drawing as ground
from clubapp.core.diagram import editing, reading
from clubapp.core.reading import FileError
from clubapp.people.access import coached_club
from clubapp.people.requests import SignedIn
from clubapp.planning import actions, catalogue
from clubapp.planning.board_form import BoardForm, board_of, rows_of
from clubapp.planning.catalogue import Listed


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def drawing(request: SignedIn, activity: str) -> HttpResponse:
    """What a button did is shown again with the way back; "keep" writes it."""
    club = coached_club(request.user)
    found = catalogue.find(catalogue.of_club(club), activity)
    board = board_of(request.POST, found.card.diagram)
    form, trouble = BoardForm(request.POST or None, board=board), ""
    do = request.POST.get("do", "")
    if form.is_valid():
        try:
            board = form.changed(do)
        except FileError as error:
            trouble = error.troubles[0].words
        except ValueError as error:
            trouble = str(error)
        else:
            if do == "keep":
                card = replace(found.card, diagram=board.drawing)
                actions.change_activity(club=club, code=activity, card=card, by=request.user)
                return redirect("library:card", activity)
    shown = form if trouble or form.errors else BoardForm(board=board, tool=request.POST.get("tool") or "cone")
    context = _shown(found, board, shown) | {"trouble": trouble}
    return render(request, "planning/drawing.html", context, status=422 if trouble or form.errors else 200)


def _shown(found: Listed, board: editing.Board, form: BoardForm) -> dict[str, Any]:
    ringed = [(Decimal(str(x)), Decimal(str(y))) for x, y in editing.picked_points(board)]
    return {
        "one": found,
        "form": form,
        "board": board,
        "picture": ground.svg(reading.layout_of(board.drawing), found.name, ringed),
        "rows": rows_of(board.drawing),
        "drawing": json.dumps(board.drawing),
        "steps": json.dumps(board.steps),
        "begun": json.dumps(board.begun),
    }
