"""One log line a request, and pages about children kept out of shared caches."""

from __future__ import annotations

import logging
import time
import uuid
from collections.abc import Callable

from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.utils.cache import patch_vary_headers

log = logging.getLogger("clubapp.request")
Handler = Callable[[HttpRequest], HttpResponseBase]


def _line(request: HttpRequest, response: HttpResponseBase, started: float) -> HttpResponseBase:
    """Name the route, never the address: addresses carry tokens."""
    match = request.resolver_match
    route = match.view_name if match else "-"
    wait = (time.monotonic() - started) * 1000
    log.info("%s %s %s %s %.0f ms", request.META["fieldbell.id"], request.method, route, response.status_code, wait)
    response["X-Request-ID"] = request.META["fieldbell.id"]
    return response


def request_line(get_response: Handler) -> Handler:
    def middleware(request: HttpRequest) -> HttpResponseBase:
        started = time.monotonic()
        request.META["fieldbell.id"] = uuid.uuid4().hex[:12]
        return _line(request, get_response(request), started)

    return middleware


def private_pages(get_response: Handler) -> Handler:
    """Everything a view renders is for one person: no cache on the way may keep it, unless the view says otherwise.

    Page and fragment share an address: without Vary the browser's back button could show the bare fragment.
    """

    def middleware(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        if "Cache-Control" not in response:
            response["Cache-Control"] = "no-store" if request.method != "GET" else "private, no-cache"
        patch_vary_headers(response, ["HX-Request"])
        return response

    return middleware
