"""Venues of a club and the kit it owns."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clubapp.people.access import coached_club
from clubapp.people.requests import SignedIn
from clubapp.planning import access, actions, queries
from clubapp.planning.forms import kit_text
from clubapp.planning.venue_forms import KitForm, VenueForm, venue_values


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def venues(request: SignedIn) -> HttpResponse:
    """All venues, and what the club owns."""
    club = coached_club(request.user)
    form = KitForm(request.POST or None, initial={"kit": kit_text(queries.kit_of(club))})
    if request.method == "POST" and form.is_valid():
        actions.keep_kit(club=club, owned=form.cleaned_data["kit"], by=request.user)
        messages.success(request, _("Kept."))
        return redirect("venues:venues")
    context = {"venues": queries.venues(club), "form": form}
    return render(request, "planning/venues.html", context, status=422 if form.is_bound and form.errors else 200)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def venue_new(request: SignedIn) -> HttpResponse:
    club = coached_club(request.user)
    form = VenueForm(request.POST or None)
    if form.is_valid():
        made = actions.keep_venue(club=club, venue=None, details=form.details(), by=request.user)
        messages.success(request, _("The venue is kept. Choose it on the page of a session."))
        return redirect("venues:venue", made.pk)
    return render(request, "planning/venue.html", {"form": form}, status=422 if form.is_bound else 200)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def venue(request: SignedIn, venue_id: UUID) -> HttpResponse:
    row = access.venue_for(request.user, venue_id)
    form = VenueForm(request.POST or None, initial=venue_values(row))
    if form.is_valid():
        actions.keep_venue(club=row.club, venue=row, details=form.details(), by=request.user)
        messages.success(request, _("Kept."))
        return redirect("venues:venue", row.pk)
    context = {"form": form, "venue": row}
    return render(request, "planning/venue.html", context, status=422 if form.is_bound else 200)


@login_required
@require_POST
def venue_remove(request: SignedIn, venue_id: UUID) -> HttpResponse:
    actions.remove_venue(venue=access.venue_for(request.user, venue_id), by=request.user)
    messages.success(request, _("The venue is removed."))
    return redirect("venues:venues")
