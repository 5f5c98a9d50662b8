"""A guardian's calendar: the page that makes and ends its address, and the feed itself."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotAllowed
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clubapp.core.guessing import turns_guessers_away
from clubapp.family import access, actions, calendar
from clubapp.people.letters import absolute
from clubapp.people.links import unseen
from clubapp.people.requests import SignedIn


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def calendar_page(request: SignedIn) -> HttpResponse:
    """The address is shown once, right after it was made: only its hash is kept."""
    if not access.own_guardians(request.user).exists():
        raise Http404
    address = ""
    if request.method == "POST" and "end" in request.POST:
        actions.end_feed(user=request.user)
        messages.success(request, _("The address opens nothing any more."))
        return redirect("family:calendar")
    if request.method == "POST":
        path = reverse("family:feed", args=[actions.make_feed(user=request.user)])
        address = absolute(path, request.build_absolute_uri("/").rstrip("/"))
    page = {"address": address, "feed": access.feed_of(request.user)}
    return unseen(render(request, "family/calendar.html", page))


@turns_guessers_away
def feed(request: HttpRequest, token: str) -> HttpResponse:
    """What a calendar programme asks for by the token alone; a wrong, ended or closed one is not found."""
    user = access.user_of_feed(token)
    if request.method not in ("GET", "HEAD"):
        return HttpResponseNotAllowed(["GET", "HEAD"])
    squads = access.squads_of(user)
    body = calendar.written(calendar.sessions_of(squads))
    return unseen(HttpResponse(body, content_type="text/calendar; charset=utf-8"))
