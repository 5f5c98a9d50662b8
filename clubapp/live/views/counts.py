"""Head-counts, where a child is, help and alarms: pages without a script, answers for phones with one."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from functools import partial
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from clubapp.live import access, actions, field_words, guidance
from clubapp.live.access import Watcher
from clubapp.live.actions import Count, RefusedError, Sent
from clubapp.live.field_forms import CallForm, CountForm, HeardForm, IncidentForm, WhereForm
from clubapp.live.models import HeadCount
from clubapp.live.views import common
from clubapp.live.watch import Watch, watch_of
from clubapp.planning.models import Station
from clubapp.register.actions import OtherTapError
from clubapp.register.forms import TapForm
from clubapp.register.queries import uuid_or_none

BUTTONS = 15  # the most a station usually holds; more are typed


@common.inside
@never_cache
@require_GET
def watch(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """What rings and who stands where, as a fragment; ?station= whose page it stands on."""
    station_id = uuid_or_none(request.GET.get("station", ""))
    place = access.station_of(watcher, station_id) if station_id else None
    return render(request, "live/watch.html", watch_context(watch_of(watcher, place)))


@common.inside
@never_cache
@require_GET
def rings(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """What rings for this adult at this moment, for a page beside the bell; nothing when nothing does."""
    return render(request, "live/rings.html", {"rows": watch_of(watcher).ringing, "session": watcher.session})


def watch_context(watch: Watch) -> dict[str, Any]:
    """What the watch's template needs, wherever it stands."""
    context = {"watch": watch, "session": watch.evening.session, "watcher": watch.watcher, "new_id": uuid.uuid4}
    return {**context, "field_words": field_words.for_phones(), "station": watch.station}


def incident_context(watch: Watch) -> dict[str, Any]:
    """A note can be written on the page of the bell or of a station, because there may be no network for another."""
    evening = watch.evening
    children = {child: watch.name(child) for child in evening.here}
    start = {"station": str(watch.station.pk) if watch.station else ""}
    form = IncidentForm(children=children, stations=evening.stations.values(), initial=start, auto_id="note-%s")
    return {"note_form": form, "guide": guidance.cautions()}


@common.inside
@require_http_methods(["GET", "POST"])
def count(request: HttpRequest, watcher: Watcher, station_id: UUID) -> HttpResponse:
    """How many stand there; then, where it does not agree, who. The leader counts for any station."""
    place = access.station_of(watcher, station_id)
    if request.method == "GET":
        return _count_page(request, watcher, place)
    form = CountForm(request.POST)
    if not form.is_valid():
        return refused_form(request, form, _counting(watcher, place))
    data = form.cleaned_data
    write = partial(actions.count_heads, count=Count(place, data["round"], data["counted"]))
    return written(request, watcher, form, write, _counted(watcher, place, data["round"]))


def _counting(watcher: Watcher, place: Station) -> str:
    return reverse("live:count", args=[watcher.session.pk, place.pk])


def _counted(watcher: Watcher, place: Station, round_no: int) -> Callable[[dict[str, Any], UUID], str]:
    """Where to go on: to the question who, or back."""

    def to(answer: dict[str, Any], op_id: UUID) -> str:
        if answer["short"] or answer["extra"]:
            return f"{_counting(watcher, place)}?round={round_no}&asked={op_id}"
        return _home(watcher, place)

    return to


def _count_page(request: HttpRequest, watcher: Watcher, place: Station) -> HttpResponse:
    watch = watch_of(watcher, place)
    asked = uuid_or_none(request.GET.get("asked", ""))
    row = HeadCount.objects.filter(op_id=asked, session=watcher.session, station=place).first() if asked else None
    round_no = row.round if row else _round(request, watch)
    context = watch_context(watch) | {"place": place, "round": round_no, "numbers": range(BUTTONS + 1)}
    if row is None:
        return render(request, "live/count.html", context)
    field = watch.field
    stands = field.expected(place.pk, round_no)
    plan = watch.evening.plan
    groups = plan.groups_at(place.pk, round_no) if plan else ()
    asked_for = {
        "count": row,
        "short": field.unnamed(row),
        "extra": field.extra(row),
        "standing": [watch.evening.child(child) for child in stands],
        "others": [watch.evening.child(child) for child in sorted(field.here - set(stands), key=watch.name)],
        "group": groups[0] if groups else None,
    }
    return render(request, "live/count.html", context | asked_for)


def _round(request: HttpRequest, watch: Watch) -> int:
    text = request.GET.get("round", "")
    rounds = len(watch.evening.plan.rounds) if watch.evening.plan else 0
    return int(text) if text.isdecimal() and 1 <= int(text[:4]) <= rounds else watch.round


@common.inside
@require_POST
def where(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """Missing, away, found, or with another group: one tap about one child."""
    form = WhereForm(request.POST)
    if not form.is_valid():
        return refused_form(request, form, _home(watcher, None))
    data = form.cleaned_data
    child = access.child_of(watcher, data["athlete"])
    place = access.station_of(watcher, data["station"]) if data["station"] else None
    back = _home(watcher, place)
    if place is not None and data["count"]:
        back = f"{_counting(watcher, place)}?asked={data['count']}"
    word = form.word(place)
    return written(request, watcher, form, partial(actions.say_where, athlete=child, word=word), lambda *_: back)


@common.inside
@require_POST
def help_here(request: HttpRequest, watcher: Watcher, station_id: UUID) -> HttpResponse:
    """Rings the leader with this station."""
    place, form = access.station_of(watcher, station_id), CallForm(request.POST)
    back = _home(watcher, place)
    if not form.is_valid():
        return refused_form(request, form, back)
    round_no = form.cleaned_data["round"]
    return written(
        request,
        watcher,
        form,
        partial(actions.call_help, station=place, round_no=round_no),
        lambda *_: back,
    )


@common.inside
@require_POST
def heard(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """An adult sees to what rings, or has."""
    form = HeardForm(request.POST)
    back = _home(watcher, None)
    if not form.is_valid():
        return refused_form(request, form, back)
    hearing = form.hearing()
    return written(request, watcher, form, partial(actions.hear, hearing=hearing), lambda *_: back)


# --- what they have in common ------------------------------------------------------------------------------------


def _home(watcher: Watcher, place: Station | None) -> str:
    """The leader's board; for everybody else the station."""
    if watcher.leads or place is None:
        return reverse("live:bell", args=[watcher.session.pk])
    return reverse("live:station", args=[watcher.session.pk, place.pk])


def refused_form(request: HttpRequest, form: forms.Form, back: str) -> HttpResponse:
    if common.wants_json(request):
        return JsonResponse({"errors": form.errors.get_json_data()}, status=422)
    messages.error(request, " ".join(str(error) for row in form.errors.values() for error in row))
    return redirect(back)


def written(
    request: HttpRequest,
    watcher: Watcher,
    form: TapForm,
    write: Callable[..., dict[str, Any]],
    to: Callable[[dict[str, Any], UUID], str],
) -> HttpResponse:
    """Keep it and answer a phone's script with what was kept, a page with the next page."""
    sent = Sent(watcher, form.tap(watcher.user, common.device_of(request)))
    back, text = _home(watcher, None), ""
    try:
        answer = write(sent=sent)
    except RefusedError as error:
        text = str(error)
    except OtherTapError:
        text = _("This tap was sent for something else already. Tap again.")
    if text:
        if common.wants_json(request):
            return JsonResponse({"text": text}, status=409)
        messages.error(request, text)
        return redirect(back)
    if common.wants_json(request):
        return JsonResponse(answer)
    return redirect(to(answer, sent.tap.op_id))
