"""Our own pages for what goes wrong; they need no JavaScript and no database."""

from __future__ import annotations

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string


def _page(name: str, status: int, **facts: object) -> HttpResponse:
    """Without the request, so without context processors: one of them may be what broke."""
    return HttpResponse(render_to_string(f"core/{name}.html", facts), status=status)


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """What is too big arrives here as well, because Django calls it a bad request."""
    if isinstance(exception, RequestDataTooBig):
        return too_large(request)
    return _page("error_400", 400)


def forbidden(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return _page("error_403", 403)


def forged(request: HttpRequest, reason: str = "") -> HttpResponse:
    """The form's token is old or missing: offer the way back, lose nothing that the browser still holds."""
    return _page("error_forged", 403)


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return _page("error_404", 404)


def too_large(request: HttpRequest) -> HttpResponse:
    return _page("error_413", 413)


def too_many(request: HttpRequest, *, wait_seconds: int) -> HttpResponse:
    response = _page("error_429", 429, minutes=-(-wait_seconds // 60))
    response["Retry-After"] = str(wait_seconds)
    return response


def broken(request: HttpRequest) -> HttpResponse:
    return _page("error_500", 500)
