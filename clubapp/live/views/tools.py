"""Tools beside the bell, at a station or for the whole field: all have one frame and one way back."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from clubapp.live.page import Evening
from clubapp.live.views import common
from clubapp.live.views.bell import context_of
from clubapp.planning.models import Station


def tool_page(
    request: HttpRequest, evening: Evening, place: Station | None, name: str, more: dict[str, Any]
) -> HttpResponse:
    """`name` is the template's; a hint of the bell fetches the field alone. more: also what the tool is called."""
    context = context_of(evening, station=place, back=way_back(evening, place), page_class=f"{name}-page", **more)
    return render(request, "live/tool.html#field" if common.is_fragment(request) else f"live/{name}.html", context)


def way_back(evening: Evening, place: Station | None) -> str:
    session = evening.session.pk
    return reverse("live:station", args=[session, place.pk]) if place else reverse("live:bell", args=[session])
