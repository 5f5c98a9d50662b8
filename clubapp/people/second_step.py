"""The second step of signing in: a club may ask it of its head coaches, who see everything of every child."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from allauth.mfa.models import Authenticator
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from clubapp.core.context import HALF_WAY
from clubapp.people.models import Membership, Role, User

WANTED = HALF_WAY
STEPS = (Authenticator.Type.TOTP, Authenticator.Type.WEBAUTHN)
# Where an adult still gets to who has to set the second step up first; all else waits.
OPEN = ("mfa_", "account_", "people:sign_", "core:")


def is_required(user: User) -> bool:
    return Membership.objects.filter(user=user, role=Role.HEAD_COACH, club__second_step=True).exists()


def is_set_up(user: User) -> bool:
    return bool(Authenticator.objects.filter(user=user, type__in=STEPS).exists())


def is_missing(user: User) -> bool:
    return is_required(user) and not is_set_up(user)


def is_last(authenticator: Any) -> bool:
    others = Authenticator.objects.filter(user=authenticator.user, type__in=STEPS).exclude(pk=authenticator.pk)
    return not others.exists()


def first(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware: nothing but the set-up of the second step while it is wanted and missing."""

    def middleware(request: HttpRequest) -> HttpResponse:
        return get_response(request)

    def process_view(request: HttpRequest, view: Any, args: Any, named: Any) -> HttpResponse | None:
        match = request.resolver_match
        if not request.session.get(WANTED) or (match and match.view_name.startswith(OPEN)):
            return None
        if isinstance(request.user, User) and is_missing(request.user):
            return HttpResponseRedirect(reverse("mfa_index"))
        del request.session[WANTED]
        return None

    middleware.process_view = process_view  # type: ignore[attr-defined]
    return middleware
