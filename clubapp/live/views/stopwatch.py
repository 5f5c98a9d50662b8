"""The stop-watch of a station or of the whole field, the times it sends, and the coach's list of them."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST
from django.views.decorators.vary import vary_on_headers

from clubapp.games import handicaps_watch
from clubapp.games.access import game_for
from clubapp.live import access, actions, page, stopwatch
from clubapp.live.access import Watcher
from clubapp.live.stopwatch_forms import TimedForm
from clubapp.live.views import common
from clubapp.live.views.counts import refused_form, written
from clubapp.live.views.tools import tool_page
from clubapp.people.models import Athlete
from clubapp.planning.models import Station
from clubapp.register.access import expected
from clubapp.rotation.evening import names_for

Write = Callable[..., dict[str, Any]]


def _watch(request: HttpRequest, watcher: Watcher, place: Station | None) -> HttpResponse:
    evening = page.evening_of(watcher)
    more: dict[str, Any] = {
        "tool": _("Stop-watch"),
        "tests": stopwatch.offered(evening, place),
        "stopwatch": stopwatch.for_phone(evening, place),
        "stopwatch_words": stopwatch.words(),
        "listed": [evening.child(child) for child in evening.by_name(evening.here)],
    }
    return tool_page(request, evening, place, "stopwatch", more)


@common.inside
@require_GET
@vary_on_headers("HX-Request")
def stopwatch_at(request: HttpRequest, watcher: Watcher, station_id: UUID) -> HttpResponse:
    """At a station: the children who stand there, round by round."""
    return _watch(request, watcher, access.station_of(watcher, station_id))


@common.inside
@require_GET
@vary_on_headers("HX-Request")
def stopwatch_all(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """For everybody who is here."""
    return _watch(request, watcher, None)


@common.inside
@require_POST
def result(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """One child's time: of a timed test, or in a handicap race."""
    form = TimedForm(request.POST)
    back = reverse("live:stopwatch_all", args=[watcher.session.pk])
    if not form.is_valid():
        return refused_form(request, form, back)
    data = form.cleaned_data
    place = access.station_of(watcher, data["station"]) if data["station"] else None
    child = access.child_of_tonight(watcher, data["athlete"])
    write = _race_write(watcher, form, child) or _test_write(watcher, form, child, place)
    if place is not None:
        back = reverse("live:stopwatch_at", args=[watcher.session.pk, place.pk])

    def to(answer: dict[str, Any], _op_id: UUID) -> str:
        name = names_for(watcher.session, {child.pk})[child.pk]
        messages.success(request, f"{name}: {answer['text']}")
        return back

    return written(request, watcher, form, write, to)


def _test_write(watcher: Watcher, form: TimedForm, child: Athlete, place: Station | None) -> Write:
    test = stopwatch.test_by_code(watcher.session, place, form.cleaned_data["trial"])
    if test is None:
        raise Http404
    return partial(actions.time_child, timed=form.timed(child, test))


def _race_write(watcher: Watcher, form: TimedForm, child: Athlete) -> Write | None:
    """None = it is of no race. A helper's pass times none: no page of games opens with it."""
    race = handicaps_watch.race_of(form.cleaned_data["trial"])
    if race is None:
        return None
    if watcher.user is None:
        raise Http404
    game = game_for(watcher.user, watcher.session.pk, race.game)
    return partial(actions.time_in_race, clocked=form.clocked(child, game, race))


@common.leading
@require_GET
def times(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """What arrived tonight, for whoever leads."""
    evening = page.evening_of(watcher)
    listed = set(expected(watcher.session).values_list("pk", flat=True))
    found = stopwatch.times_of(watcher.session, names_for(watcher.session, listed), evening.here)
    context = {"session": watcher.session, "watcher": watcher, "times": found}
    return render(request, "live/stopwatch_times.html", context)
