"""Requests as the views see them."""

from __future__ import annotations

from django.http import HttpRequest, QueryDict

from clubapp.people.models import User


class SignedIn(HttpRequest):
    """What a view behind `login_required` receives; for types only."""

    user: User


def posted(request: HttpRequest) -> QueryDict | None:
    """What was sent, even if nothing was ticked or written; None when the page is only looked at."""
    return request.POST if request.method == "POST" else None
