"""The gate: the leader's pass and list, and the pages of a helper who comes with it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from clubapp.core import errors, limiter
from clubapp.core.guessing import turns_guessers_away
from clubapp.live import access, actions, page, passes, queries, sentences
from clubapp.live.access import Watcher
from clubapp.live.actions import RefusedError
from clubapp.live.face import face_of
from clubapp.live.forms import CodeForm, GateForm, PersonForm
from clubapp.live.models import Pass
from clubapp.live.news import news as news_of
from clubapp.live.views import common

TRIES = 10  # wrong codes, and names at a gate, per address and minute
HERE_ONLY = ("localhost", "127.0.0.1", "[::1]")


# --- the leader ------------------------------------------------------------------------------------------------------


@common.leading
@require_http_methods(["GET", "POST"])
def passes_page(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """The pass to scan or to say aloud; made, changed and taken back here."""
    assert watcher.user is not None  # who leads has an account
    entry = queries.open_pass(watcher.session)
    if request.method == "GET":
        return _unseen(render(request, "live/passes.html", _pass_context(request, watcher, entry)))
    if "revoke" in request.POST and entry is not None:
        actions.revoke(entry=entry, by=watcher.user)
    elif "make" in request.POST:
        actions.make_pass(session=watcher.session, by=watcher.user)
    return redirect("live:passes", watcher.session.pk)


def _pass_context(request: HttpRequest, watcher: Watcher, entry: Pass | None) -> dict[str, Any]:
    session = watcher.session
    until = access.good_until(session)
    context = {"session": session, "until": until.astimezone(session.club.zone).time(), "over": until <= timezone.now()}
    context["came"] = queries.came_in(session)
    # A pass made under another server secret cannot be shown again: make a new one.
    if entry is None or entry.token_hash != passes.hashed("token", passes.token_of(entry.pk)):
        return context
    address = _address(request, reverse("live:gate", args=[passes.token_of(entry.pk)]))
    letters = [(letter, passes.WORDS[letter]) for letter in passes.code_of(entry.pk)]
    here_only = request.get_host().rsplit(":", 1)[0] in HERE_ONLY and not settings.PUBLIC_URL
    return {**context, "picture": passes.picture(address), "letters": letters, "here_only": here_only}


def _address(request: HttpRequest, path: str) -> str:
    return f"{settings.PUBLIC_URL}{path}" if settings.PUBLIC_URL else request.build_absolute_uri(path)


@common.leading
@require_POST
def let_in(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """One tap beside the typed name."""
    return _decide(request, watcher, actions.let_in)


@common.leading
@require_POST
def refuse(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """Not this one, or not any more."""
    return _decide(request, watcher, actions.refuse)


def _decide(request: HttpRequest, watcher: Watcher, action: Callable[..., None]) -> HttpResponse:
    form = PersonForm(request.POST)
    if form.is_valid():
        action(visitor=access.visitor_for(watcher.session, form.cleaned_data["visitor"]), by=watcher.user)
    if common.is_fragment(request):
        context = {"session": watcher.session, "watcher": watcher, "news": news_of(page.evening_of(watcher))}
        return render(request, "live/news.html", context)
    return redirect("live:bell", watcher.session.pk)


# --- the helper ------------------------------------------------------------------------------------------------------


@require_http_methods(["GET", "POST"])
def code(request: HttpRequest) -> HttpResponse:
    """Type the spoken code. Ten wrong ones in a minute from one address, then wait."""
    if wait := limiter.seconds_to_wait("pass_code", limiter.address(request), most=TRIES):
        return errors.too_many(request, wait_seconds=wait)
    form = CodeForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        entry = access.pass_by_code(form.cleaned_data["code"])
        if entry is not None:
            return redirect("live:gate", passes.token_of(entry.pk))
        limiter.count_wrong("pass_code", limiter.address(request))
        form.add_error("code", _("No open pass has this code. Ask to have it said once more, letter by letter."))
    return _unseen(render(request, "live/code.html", {"form": form}, status=422 if form.errors else 200))


@require_http_methods(["GET", "POST"])
@turns_guessers_away
def gate(request: HttpRequest, token: str) -> HttpResponse:
    """Where the pass leads: say your name, then wait for the leader."""
    entry = access.pass_by_token(token)
    known = access.find(request.user, common.key_of(request), entry.session_id)
    if known is not None:
        return redirect("live:waiting") if not known.inside else redirect("live:bell", entry.session_id)
    if wait := limiter.seconds_to_wait("gate", limiter.address(request), most=TRIES):
        return errors.too_many(request, wait_seconds=wait)
    form = GateForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        limiter.count_wrong("gate", limiter.address(request))
        return _come(request, entry, form)
    context = {"form": form, "session": entry.session}
    return _unseen(render(request, "live/gate.html", context, status=422 if form.errors else 200))


def _come(request: HttpRequest, entry: Pass, form: GateForm) -> HttpResponse:
    try:
        key = actions.come_to_gate(entry=entry, name=form.cleaned_data["name"])
    except RefusedError as error:
        form.add_error(None, str(error))
        return _unseen(render(request, "live/gate.html", {"form": form, "session": entry.session}, status=409))
    response = redirect("live:waiting")
    expires = access.good_until(entry.session)
    response.set_cookie(
        passes.COOKIE, key, expires=expires, secure=settings.SECURE, httponly=True, samesite="Lax", path="/"
    )
    return _unseen(response)


@never_cache
@require_GET
def waiting(request: HttpRequest) -> HttpResponse:
    """Only the clock, until the leader taps "let in"; then the way inside."""
    visitor = access.visitor_by_key(common.key_of(request))
    if visitor is None:
        return redirect("live:code")
    session = visitor.entry.session
    watcher = access.find(request.user, common.key_of(request), session.pk)
    if watcher is not None and watcher.inside:
        return redirect("live:bell", session.pk)
    context = {"session": session, "visitor": visitor, "open": watcher is not None}
    if watcher is not None:
        evening = page.evening_of(watcher)
        context |= {"evening": evening, "watcher": watcher, "words": sentences.for_phones()}
        context["face"] = face_of(evening.state, evening.seen)
    return render(request, "live/waiting.html", context)


def _unseen(response: HttpResponse) -> HttpResponse:
    """These addresses and pages hold a secret: no cache keeps them, no other site learns them."""
    response["Cache-Control"] = "no-store"
    response["Referrer-Policy"] = "no-referrer"
    response["X-Robots-Tag"] = "noindex"
    return response
