"""Activities as files: out to another club, in from one."""

from __future__ import annotations

import json
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods

from clubapp.people.access import coached_club
from clubapp.people.requests import SignedIn, posted
from clubapp.planning import access, actions, catalogue
from clubapp.planning.card_forms import CardsFileForm

pages = require_http_methods(["GET", "HEAD", "POST"])


@login_required
@require_GET
def card_file(request: SignedIn, activity: str) -> HttpResponse:
    """One card, for whoever may see it."""
    club, _changes = access.library_for(request.user)
    found = catalogue.find(catalogue.of_club(club), activity)
    return _file(activity, found.card.as_json())


@login_required
@require_GET
def own_file(request: SignedIn) -> HttpResponse:
    """Everything the club has written itself: its own activities and those it changed."""
    club = coached_club(request.user)
    own = [one.card.as_json() for one in catalogue.of_club(club) if one.own or one.changed]
    return _file("activities", own)


def _file(name: str, data: Any) -> HttpResponse:
    headers = {"Content-Disposition": f'attachment; filename="{name}.json"', "Cache-Control": "no-store"}
    text = json.dumps(data, ensure_ascii=False, indent=1)
    return HttpResponse(text, content_type="application/json; charset=utf-8", headers=headers)


@login_required
@pages
def bring_in(request: SignedIn) -> HttpResponse:
    """All cards of a file become the club's own, or none; what stands is never overwritten."""
    club = coached_club(request.user)
    form = CardsFileForm(posted(request), request.FILES or None)
    if form.is_valid():
        rows = actions.bring_in(club=club, cards=form.cards, by=request.user)
        said = ngettext("%(n)d activity is yours now.", "%(n)d activities are yours now.", len(rows))
        messages.success(request, said % {"n": len(rows)})
        return redirect("library:card", rows[0].code) if len(rows) == 1 else redirect("library:cards")
    return render(request, "planning/bring_in.html", {"form": form}, status=422 if form.is_bound else 200)
