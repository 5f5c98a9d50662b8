"""The pages of the running session, and the bell's road for phones without a socket."""

from __future__ import annotations

import uuid
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST
from django.views.decorators.vary import vary_on_headers

from clubapp.core.audit import record
from clubapp.core.tell import version_of
from clubapp.games import term
from clubapp.live import access, actions, before, incident_rows, page, played, presence, queries, sentences
from clubapp.live import messages as wire
from clubapp.live.access import Watcher
from clubapp.live.actions import Order, RefusedError
from clubapp.live.face import face_of
from clubapp.live.forms import CommandForm, HoldForm
from clubapp.live.muster import muster_of
from clubapp.live.news import news as news_of
from clubapp.live.notes import uncleared
from clubapp.live.page import Evening
from clubapp.live.playing import games_on
from clubapp.live.views import common
from clubapp.live.views.counts import incident_context, watch_context
from clubapp.live.watch import Watch
from clubapp.people.actions import read_medical_notes
from clubapp.planning.catalogue import picture_of
from clubapp.register import queries as register
from clubapp.register.sentences import leave_out_words
from clubapp.rotation.evening import names_for


def context_of(evening: Evening, **more: Any) -> dict[str, Any]:
    return {
        "evening": evening,
        "session": evening.session,
        "watcher": evening.watcher,
        "face": face_of(evening.state, evening.seen),
        "news": news_of(evening),
        "words": sentences.for_phones(),
        "going": "over" if evening.seen.kind == "over" and evening.seen.phase == "running" else evening.seen.phase,
        "op_id": uuid.uuid4(),
        "muster": muster_of(evening),
        "games_on": games_on(evening.watcher, more.get("game")),
        **watch_context(watch := Watch(evening, more.get("station"))),
        **incident_context(watch),
        **more,
    }


@common.inside
@require_GET
@vary_on_headers("HX-Request")
def bell(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """The leader's scoreboard with its buttons; for everybody else the clock and the choice of a station."""
    evening = page.evening_of(watcher)
    presence.note_heard(watcher)
    more = presence.context_of(watcher.session) if watcher.leads else {}
    if watcher.leads and not evening.state.started:
        more["before"] = before.missing(watcher.session)
    if watcher.visitor is not None and not common.is_fragment(request):
        more["term"] = term.totals(watcher.session.squad, watcher.session.club.today())
    context = context_of(evening, turns=page.turns(evening), mine=queries.station_held_by(watcher), **more)
    return render(request, f"live/bell.html{'#field' if common.is_fragment(request) else ''}", context)


@common.inside
@require_GET
@vary_on_headers("HX-Request")
def station(request: HttpRequest, watcher: Watcher, station_id: UUID) -> HttpResponse:
    """One station: the time, who stands here now, who comes next, where they go."""
    place, evening = access.station_of(watcher, station_id), page.evening_of(watcher)
    drawn = page.drawn_of(place)
    context = context_of(evening, station=place, visits=page.visits(evening, place), drawn=drawn)
    if common.is_fragment(request):
        redrawn = request.headers.get("Drawn", drawn) != drawn
        return render(request, "live/station.html#field", context | {"redrawn": redrawn})
    return render(request, "live/station.html", context | {"picture": picture_of(place)})


@common.inside
@require_POST
def hold(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """ "This is my station": said here, shown to the leader."""
    form = HoldForm(request.POST)
    if not form.is_valid():
        return _back(request, watcher, _("Choose one of the stations."))
    place = access.station_of(watcher, form.cleaned_data["station"])
    actions.hold_station(by=watcher, station=place)
    return redirect("live:station", watcher.session.pk, place.pk)


@common.leading
@require_POST
def open_room(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """The live side of the session is made; nothing runs yet."""
    actions.open_room(session=watcher.session)
    return redirect("live:bell", watcher.session.pk)


@common.inside
@require_POST
def command(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """A command from a page without a socket, or without any script."""
    form = CommandForm(request.POST)
    if not form.is_valid():
        return _refused(request, watcher, " ".join(str(text) for rows in form.errors.values() for text in rows), 422)
    try:
        answer = actions.give_command(order=Order(watcher, form.tap(), common.device_of(request)))
    except RefusedError as error:
        return _refused(request, watcher, str(error), 409)
    words = sentences.why(answer.why)
    if common.wants_json(request):
        told = wire.answer(form.tap().op_id, accepted=answer.accepted, words=words, seq=answer.seq)
        return JsonResponse({**told, "bell": _snapshot(watcher)})
    return _back(request, watcher, words)


def _refused(request: HttpRequest, watcher: Watcher, words: str, status: int) -> HttpResponse:
    if common.wants_json(request):
        return JsonResponse(wire.error(words), status=status)
    return _back(request, watcher, words)


def _back(request: HttpRequest, watcher: Watcher, words: str) -> HttpResponse:
    if words:
        messages.error(request, words)
    return redirect("live:bell", watcher.session.pk)


def _snapshot(watcher: Watcher) -> dict[str, Any]:
    """The version first: a state newer than its number is asked for again, an older one would be missed."""
    version = version_of(watcher.session.pk)
    return wire.bell(wire.plain_state(played.state_of(watcher.session.pk)), version)


@common.watched
@never_cache
@require_GET
def state(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """The bell as data, for phones whose network blocks sockets. Holds nobody's name."""
    t1 = wire.now_ms()
    presence.note_heard(watcher)
    told = _snapshot(watcher)
    return JsonResponse({**told, "t1": t1, "t2": wire.now_ms()})


@common.inside
@require_GET
def health(request: HttpRequest, watcher: Watcher, athlete_id: UUID) -> HttpResponse:
    """What to do for a child with a flag. Every look is in the log, a helper's under the helper's own id."""
    child = access.child_of(watcher, athlete_id)
    session = watcher.session
    notes = read_medical_notes(athlete_ids=[child.pk], club_id=session.club_id, by=watcher.user)
    if watcher.visitor is not None and notes:
        helper, kind = str(watcher.visitor.pk), "medical note by a helper"
        record(club_id=session.club_id, user_id=None, verb="read", kind=kind, about=child.pk, helper=helper)
    easy = leave_out_words(tuple(register.easy(session.pk).get(child.pk, ())))
    name = names_for(session, {child.pk})[child.pk]
    hurt = incident_rows.hurt_children([child.pk]).get(child.pk)
    context = {"session": session, "name": name, "note": notes.get(child.pk), "easy": easy, "child": child}
    context["hurt"] = uncleared(hurt) if hurt else ""
    return render(request, f"live/health.html{'#note' if common.is_fragment(request) else ''}", context)
