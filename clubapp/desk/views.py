"""The first page of everybody who signs in."""

from __future__ import annotations

from django.conf import settings
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.views.decorators.http import require_GET

from clubapp.desk import queries


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
