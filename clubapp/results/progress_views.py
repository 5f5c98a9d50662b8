"""The head coach's pages on progress. No assistant, helper or guardian gets here: the lists name single children."""

from __future__ import annotations

from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from clubapp.people import access
from clubapp.people.models import Club, Squad
from clubapp.people.requests import SignedIn
from clubapp.results import progress_beside, progress_page
from clubapp.results.models import Trial
from clubapp.results.progress_page import CHANGE, NAME, RESULT


@login_required
@require_GET
def progress(request: SignedIn) -> HttpResponse:
    """A squad on one test: by name, unless the coach asks for an order."""
    club = access.coached_club(request.user)
    order = request.GET.get("order", NAME)
    squad, trial = _squad(club, request.GET.get("squad", "")), _trial(club, request.GET.get("test", ""))
    page = progress_page.squad_page(club, squad, trial, order if order in (CHANGE, RESULT) else NAME)
    squads = club.squads.order_by("name")
    return render(request, "results/progress.html", {"page": page, "squads": squads, "squad": squad})


@login_required
@require_GET
def progress_child(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    """All tests of one child; published values beside them only if asked for."""
    child = access.coached_athlete(request.user, athlete_id)
    published = request.GET.get("beside") == "published"
    shown = progress_page.for_coach(child, published=published)
    offers = any(progress_beside.exists(one.test) for one in shown)
    page = {"child": child, "shown": shown, "published": published, "offers": offers}
    return render(request, "results/progress_child.html", page)


def _squad(club: Club, chosen: str) -> Squad | None:
    """None for the whole club; 404 for what is none of its squads."""
    for row in club.squads.all():
        if str(row.pk) == chosen:
            return row
    if chosen:
        raise Http404
    return None


def _trial(club: Club, code: str) -> Trial | None:
    """None for whichever comes first; 404 for what is none of the club's tests."""
    for row in progress_page.tests_with_results(club):
        if row.code == code:
            return row
    if code:
        raise Http404
    return None
