"""A link's token cannot be guessed; whoever tries all the same is turned away before the tables are asked for long."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse

from clubapp.core import errors, limiter

MOST = 30  # a minute from one address: a family that shares one and holds an old link is far from it

View = Callable[..., HttpResponse]


def turns_guessers_away(view: View) -> View:
    """For pages opened by a token alone: each that opens nothing counts."""

    @wraps(view)
    def watched(request: HttpRequest, *args: Any, **named: Any) -> HttpResponse:
        who = limiter.address(request)
        if wait := limiter.seconds_to_wait("link", who, most=MOST):
            return errors.too_many(request, wait_seconds=wait)
        try:
            return view(request, *args, **named)
        except Http404:
            limiter.count_wrong("link", who)
            raise

    return watched
