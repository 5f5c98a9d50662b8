"""One log line a request, and pages about children kept out of shared caches."""

from __future__ import annotations

import logging
import time
import uuid
from collections.abc import Callable
from urllib.parse import urlsplit

from django.conf import settings
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.shortcuts import resolve_url
from django.utils.cache import patch_vary_headers
from django_htmx.http import HttpResponseClientRedirect

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


def whole_page_sign_in(get_response: Handler) -> Handler:
    """A tap whose sign-in has run out must not swap the sign-in page into a row: the whole page goes there and back."""

    def middleware(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        leads_to = response.get("Location", "").split("?")[0]
        if request.headers.get("HX-Request") and leads_to and leads_to == resolve_url(settings.LOGIN_URL):
            back = urlsplit(request.headers.get("HX-Current-URL", "")).path or "/"
            return HttpResponseClientRedirect(redirect_to_login(back).url)
        return response

    return middleware
