"""Pages that belong to no room of the house."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from clubapp.core import keeping, pwa


@require_GET
def offline(request: HttpRequest) -> HttpResponse:
    """Kept on the phone for when there is no network, so it holds nothing of anybody's."""
    return HttpResponse(render_to_string("core/offline.html"), headers={"Cache-Control": "no-cache"})


@never_cache
@require_GET
def who(request: HttpRequest) -> HttpResponse:
    """What a phone's queue asks before it sends: for whom, and what the clock says. Renews the token's cookie."""
    get_token(request)
    return JsonResponse({"owner": keeping.owner_of(request), "now_ms": keeping.milliseconds(timezone.now())})


@require_GET
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker: at the root, because it may only look after what lies below its own address."""
    headers = {"Cache-Control": "no-cache", "Service-Worker-Allowed": "/"}
    return HttpResponse(pwa.worker(), content_type="text/javascript; charset=utf-8", headers=headers)


@require_GET
def manifest(request: HttpRequest) -> HttpResponse:
    headers = {"Cache-Control": "no-cache"}
    return JsonResponse(pwa.manifest(), content_type="application/manifest+json", headers=headers)


@require_GET
def phone(request: HttpRequest) -> HttpResponse:
    """What this phone can do and what it keeps; the page's script fills it in."""
    return render(request, "core/phone.html")
