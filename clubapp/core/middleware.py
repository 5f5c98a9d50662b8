"""One log line a request, and pages about children kept out of shared caches."""

from __future__ import annotations

import logging
import time
import uuid
from collections.abc import Callable
from urllib.parse import urlsplit

from django.conf import settings
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, JsonResponse
from django.http.response import HttpResponseBase
from django.shortcuts import resolve_url
from django.utils.cache import patch_vary_headers
from django_htmx.http import HttpResponseClientRedirect

from clubapp.core import erased, keeping

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
    """A tap or form whose sign-in has run out: the whole page goes to sign in, and back to where it was tapped."""

    def middleware(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        leads_to = response.get("Location", "").split("?")[0]
        if request.method != "POST" or not leads_to or leads_to != resolve_url(settings.LOGIN_URL):
            return response
        if request.headers.get("HX-Request"):
            return HttpResponseClientRedirect(redirect_to_login(_page_of(request, "HX-Current-URL")).url)
        if not request.path.startswith(leads_to) and request.headers.get("Referer"):
            # Most forms' own addresses answer no GET: after signing in that would be a dead end.
            response["Location"] = redirect_to_login(_page_of(request, "Referer")).url
        return response

    return middleware


def _page_of(request: HttpRequest, header: str) -> str:
    try:
        return urlsplit(request.headers.get(header, "")).path or "/"
    except ValueError:  # anybody may send anything
        return "/"


def kept_pages(get_response: Handler) -> Handler:
    """Says on the few pages that a phone may keep until when it may; and on all whether somebody was erased since."""

    def middleware(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        whole = request.method == "GET" and response.status_code == 200 and not request.headers.get("HX-Request")
        if whole:
            response[keeping.ERASED] = erased.edition()
        if whole and (last := keeping.milliseconds(keeping.longest(request))):
            response[keeping.UNTIL] = str(last)
        return response

    return middleware


def own_queue(get_response: Handler) -> Handler:
    """A phone's queue names its owner: under another sign-in, or none, nothing of it is taken."""

    def middleware(request: HttpRequest) -> HttpResponseBase:
        named = request.headers.get(keeping.OWNER)
        if named is not None and named != keeping.owner_of(request):
            return JsonResponse({"error": ""}, status=401)
        return get_response(request)

    return middleware
