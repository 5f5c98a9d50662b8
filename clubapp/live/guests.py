"""Helpers as the lower rooms of the house know them: an id, and when their pass is over."""

from __future__ import annotations

from django.http import HttpRequest

from clubapp.core.registry import Guest
from clubapp.live import access, passes


def guest_of(request: HttpRequest) -> Guest | None:
    """Whoever holds a pass that is still good, for what core keeps on the phone and sends from it."""
    visitor = access.visitor_by_key(request.COOKIES.get(passes.COOKIE, ""))
    if visitor is None or not access.still_good(visitor):
        return None
    return Guest(visitor.pk, access.good_until(visitor.entry.session))
