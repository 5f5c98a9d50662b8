"""The first page of everybody who signs in, and the page of one child."""

from __future__ import annotations

from uuid import UUID

from django.conf import settings
from django.contrib.auth.decorators import login_required
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.views.decorators.http import require_GET

from clubapp.desk import queries
from clubapp.desk.child import child_page
from clubapp.people.access import coached_athlete
from clubapp.people.requests import SignedIn


@require_GET
def home(request: HttpRequest) -> HttpResponse:
    """Who works here finds today's session; a guardian the children; the rest are told whom to ask."""
    nav = queries.nav_for(request.user)
    if nav is None:
        return redirect_to_login(request.get_full_path(), resolve_url(settings.LOGIN_URL))
    if nav.works:
        return render(request, "desk/home.html", {"page": queries.home_for(request.user, nav)})
    if nav.guards:
        return redirect("family:home")
    return render(request, "desk/no_place.html", {"club": nav.club})


@login_required
@require_GET
def child(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    """What the club knows of one child, with the doors to change it."""
    row = coached_athlete(request.user, athlete_id)
    return render(request, "desk/child.html", {"page": child_page(request.user, row, row.club.today())})
