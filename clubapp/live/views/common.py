"""What the live views have in common: who is before the bell, and how a refusal is answered."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any
from uuid import UUID

from django.conf import settings
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, resolve_url
from django.utils.translation import gettext as _

from clubapp.core import device
from clubapp.live import access, messages, passes
from clubapp.live.access import Watcher
from clubapp.people.models import User

View = Callable[..., HttpResponse]


def key_of(request: HttpRequest) -> str:
    """What a helper's cookie holds."""
    return request.COOKIES.get(passes.COOKIE, "")


def device_of(request: HttpRequest) -> str:
    """The phone; without scripts each sign-in and each helper's cookie is one."""
    return device.device_of(request, key_of(request))


def account(request: HttpRequest) -> User:
    """Behind `login_required` nobody is anonymous."""
    if not isinstance(request.user, User):
        raise PermissionDenied
    return request.user


def watched(view: View) -> View:
    """Let anybody in who may see the clock, waiting helpers included."""

    @wraps(view)
    def inner(request: HttpRequest, session_id: UUID, **ids: Any) -> HttpResponse:
        watcher = access.find(request.user, key_of(request), session_id)
        if watcher is not None:
            return view(request, watcher, **ids)
        if request.user.is_authenticated:
            raise Http404
        if wants_json(request):  # a redirect could also be a network that wants its own sign-in first
            return JsonResponse(messages.error(_("Sign in first.")), status=401)
        return redirect_to_login(request.get_full_path(), resolve_url(settings.LOGIN_URL))

    return inner


def inside(view: View) -> View:
    """Let in who works in the session; a helper at the gate goes on waiting."""

    @watched
    @wraps(view)
    def inner(request: HttpRequest, watcher: Watcher, **ids: Any) -> HttpResponse:
        return view(request, watcher, **ids) if watcher.inside else redirect("live:waiting")

    return inner


def leading(view: View) -> View:
    """Let in who runs the session; to everybody else inside it is not there."""

    @watched
    @wraps(view)
    def inner(request: HttpRequest, watcher: Watcher, **ids: Any) -> HttpResponse:
        if not watcher.leads:
            raise Http404
        return view(request, watcher, **ids)

    return inner


def is_fragment(request: HttpRequest) -> bool:
    return bool(request.headers.get("HX-Request")) and not request.headers.get("HX-History-Restore-Request")


def wants_json(request: HttpRequest) -> bool:
    return request.get_preferred_type(["text/html", "application/json"]) == "application/json"
