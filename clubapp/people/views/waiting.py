"""The waiting list: children whom the club knows and has no place for yet."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from clubapp.people import access, actions, queries
from clubapp.people.forms.lists import PlaceForm
from clubapp.people.requests import SignedIn


@login_required
@require_GET
def waiting_list(request: SignedIn) -> HttpResponse:
    """Who has waited longest stands first, each with the adults to ring."""
    club = access.coached_club(request.user)
    cards = queries.cards(queries.waiting(club), club.today())
    rows = [(card, [tie for tie in queries.adults_of(card.child) if not tie.restricted]) for card in cards]
    return render(request, "people/waiting_list.html", {"rows": rows, "squads": queries.squads(club)})


@login_required
@require_POST
def athlete_wait(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    child = access.coached_athlete(request.user, athlete_id)
    actions.put_on_waiting_list(athlete=child, by=request.user)
    return redirect("people:waiting_list")


@login_required
@require_POST
def athlete_place(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    """A squad has a place for the child."""
    child = access.coached_athlete(request.user, athlete_id)
    form = PlaceForm(child.club, request.POST)
    if form.is_valid():
        squad = form.cleaned_data["squad"]
        actions.give_place(athlete=child, squad=squad, by=request.user)
        words = _("%(name)s has a place in %(squad)s.") % {"name": child.first_name, "squad": squad.name}
        messages.success(request, words)
    else:
        messages.error(request, _("Say in which squad the place is."))
    return redirect("people:waiting_list")
