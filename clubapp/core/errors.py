"""Our own pages for what goes wrong; they need no JavaScript and no database."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return render(request, "core/error_400.html", status=400)


def forbidden(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return render(request, "core/error_403.html", status=403)


def forged(request: HttpRequest, reason: str = "") -> HttpResponse:
    """The form's token is old or missing: offer the way back, lose nothing that the browser still holds."""
    return render(request, "core/error_forged.html", status=403)


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return render(request, "core/error_404.html", status=404)


def too_large(request: HttpRequest) -> HttpResponse:
    return render(request, "core/error_413.html", status=413)


def too_many(request: HttpRequest, *, wait_seconds: int) -> HttpResponse:
    response = render(request, "core/error_429.html", {"minutes": -(-wait_seconds // 60)}, status=429)
    response["Retry-After"] = str(wait_seconds)
    return response


def broken(request: HttpRequest) -> HttpResponse:
    return render(request, "core/error_500.html", status=500)
