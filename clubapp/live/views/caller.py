"""The cue caller of a station or of the whole field."""

from __future__ import annotations

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET
from django.views.decorators.vary import vary_on_headers

from clubapp.live import access, caller, page
from clubapp.live.access import Watcher
from clubapp.live.views import common
from clubapp.live.views.tools import tool_page
from clubapp.planning.models import Station


def _caller(request: HttpRequest, watcher: Watcher, place: Station | None) -> HttpResponse:
    more = {"tool": _("Cue caller"), "caller": caller.for_phone()}
    return tool_page(request, page.evening_of(watcher), place, "caller", more)


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
