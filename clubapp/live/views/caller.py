"""The cue caller of a station or of the whole field."""

from __future__ import annotations

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET
from django.views.decorators.vary import vary_on_headers

from clubapp.live import access, caller, page
from clubapp.live.access import Watcher
from clubapp.live.views import common
from clubapp.live.views.bell import context_of
from clubapp.planning.models import Station


def _caller(request: HttpRequest, watcher: Watcher, place: Station | None) -> HttpResponse:
    evening = page.evening_of(watcher)
    back = reverse("live:bell", args=[watcher.session.pk])
    if place is not None:
        back = reverse("live:station", args=[watcher.session.pk, place.pk])
    context = context_of(evening, station=place, caller=caller.for_phone(), back=back)
    return render(request, f"live/caller.html{'#field' if common.is_fragment(request) else ''}", context)


@common.inside
@require_GET
@vary_on_headers("HX-Request")
def caller_at(request: HttpRequest, watcher: Watcher, station_id: UUID) -> HttpResponse:
    """At a station: back leads to it."""
    return _caller(request, watcher, access.station_of(watcher, station_id))


@common.inside
@require_GET
@vary_on_headers("HX-Request")
def caller_all(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """For a warm-up or a game of everybody."""
    return _caller(request, watcher, None)
