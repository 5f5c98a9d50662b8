"""Pages that belong to no room of the house."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.views.decorators.http import require_GET


@require_GET
def offline(request: HttpRequest) -> HttpResponse:
    """Kept on the phone for when there is no network, so it holds nothing of anybody's."""
    return HttpResponse(render_to_string("core/offline.html"), headers={"Cache-Control": "no-cache"})
