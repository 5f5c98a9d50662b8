"""Incident notes, and what stands in the register until somebody has cleared a child."""

from __future__ import annotations

import uuid
from datetime import datetime
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from clubapp.live import access, actions, guidance, incident_rows
from clubapp.live.access import Watcher
from clubapp.live.actions import Note, RefusedError, Sent
from clubapp.live.field_forms import ClearForm, IncidentForm, MoreForm, WithdrawForm, instant_of, minute_before
from clubapp.live.models import Incident
from clubapp.live.views import common
from clubapp.people.models import Athlete
from clubapp.planning import queries as planning
from clubapp.register import queries as register
from clubapp.register.actions import OtherTapError
from clubapp.rotation.evening import names_for


@common.inside
@never_cache
@require_http_methods(["GET", "POST"])
def incident_new(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """What happened, who, when, what was done. A helper may write one and sees nothing of it afterwards."""
    form = _note_form(request, watcher)
    if request.method == "POST" and form.is_valid():
        sent = Sent(watcher, form.tap(watcher.user, common.device_of(request)))
        try:
            incident = actions.write_incident(note=_note(watcher, form.cleaned_data), sent=sent)
        except OtherTapError:
            form.add_error(None, _("This page was sent before. Load it again for another note."))
        else:
            return _written(request, watcher, incident)
    if form.is_bound and common.wants_json(request):
        return JsonResponse({"errors": form.errors.get_json_data()}, status=422)
    context = {"form": form, "session": watcher.session, "watcher": watcher, "guide": guidance.cautions()}
    return render(request, "live/incident_new.html", context, status=422 if form.is_bound else 200)


def _note_form(request: HttpRequest, watcher: Watcher) -> IncidentForm:
    session = watcher.session
    # Offered are those who are here. A note that waited for a network is taken of one who has gone home, too.
    posted = request.method == "POST"
    may_be = set(access.tonight(watcher).values_list("pk", flat=True) if posted else register.here_ids(session.pk))
    children = {child: name for child, name in names_for(session, may_be).items() if child in may_be}
    now = timezone.now().astimezone(session.club.zone)
    start = {"op_id": uuid.uuid4(), "at": minute_before(now), "station": request.GET.get("station", "")}
    return IncidentForm(request.POST or None, initial=start, children=children, stations=planning.stations(session))


def _note(watcher: Watcher, data: dict[str, Any]) -> Note:
    session, now = watcher.session, timezone.now()
    told_at = data["told_at"]
    return Note(
        athlete=access.child_of_tonight(watcher, UUID(data["athlete"])),
        happened_at=instant_of(session, data["at"], now),
        what=data["what"],
        done=data["done"],
        stays_with=data["stays_with"],
        head_injury=data["head_injury"],
        told_whom=data["told_whom"],
        told_at=instant_of(session, told_at, now) if told_at else None,
        station=access.station_of(watcher, UUID(data["station"])) if data["station"] else None,
    )


def _written(request: HttpRequest, watcher: Watcher, incident: Incident) -> HttpResponse:
    """A suspected head injury goes on to what to do; a helper is told that it is kept."""
    if common.wants_json(request):
        return JsonResponse(incident.answer)
    if incident.head_injury and watcher.user is not None:
        return redirect("live:not_before", watcher.session.pk, incident.athlete_id)
    if incident.head_injury:
        messages.warning(request, _("Kept. The child takes no further part today; the leader's phone rings."))
    else:
        messages.success(request, _("Kept. The head coach and the welfare officer can read it."))
    return redirect("live:bell", watcher.session.pk)


@common.inside
@never_cache
@require_http_methods(["GET", "POST"])
def not_before(request: HttpRequest, watcher: Watcher, athlete_id: UUID) -> HttpResponse:
    """The dates of a suspected head injury with their sources; the leader records here who cleared the child."""
    if watcher.user is None:
        raise Http404
    child = access.child_of(watcher, athlete_id)
    if request.method == "POST":
        return _cleared(request, watcher, child)
    context = _dates(watcher, child) | {"form": ClearForm(initial={"op_id": uuid.uuid4()})}
    return render(request, "live/not_before.html", context)


def _dates(watcher: Watcher, child: Athlete) -> dict[str, Any]:
    session = watcher.session
    injuries = incident_rows.injuries_of(child.pk)
    here = session.pk in {row.session for row in injuries}
    return {
        "session": session,
        "watcher": watcher,
        "child": child,
        "name": names_for(session, {child.pk})[child.pk],
        "injuries": [(row, guidance.dates(row)) for row in injuries],
        "open": [row for row in injuries if row.cleared is None],
        "guide": guidance.cautions(),
        "today": here,
        "new_id": uuid.uuid4,
        "readable": set(access.incidents_visible_to(watcher.user).values_list("pk", flat=True)) if watcher.user else (),
    }


def _cleared(request: HttpRequest, watcher: Watcher, child: Athlete) -> HttpResponse:
    """Only who leads the session records it; the date alone never does."""
    if not watcher.leads:
        raise Http404
    withdraw = "withdraw" in request.POST
    form = WithdrawForm(request.POST) if withdraw else ClearForm(request.POST)
    if form.is_valid():
        incident = access.injury_of(watcher, child, form.cleaned_data["incident"])
        sent = Sent(watcher, form.tap(watcher.user, common.device_of(request)))
        try:
            if withdraw:
                actions.withdraw_clearance(incident=incident, sent=sent)
            else:
                data = form.cleaned_data
                actions.clear_child(incident=incident, who=data["who"], on=data["on"], sent=sent)
            return redirect("live:not_before", watcher.session.pk, child.pk)
        except RefusedError as error:
            form.add_error("on", str(error))
        except OtherTapError:
            form.add_error(None, _("This page was sent before. Load it again."))
    context = _dates(watcher, child) | {"form": form, "asked": form.data.get("incident")}
    return render(request, "live/not_before.html", context, status=422)


# --- reading them ------------------------------------------------------------------------------------------------


@login_required
@never_cache
@require_GET
def incidents(request: HttpRequest) -> HttpResponse:
    """Every note this adult may read, the newest first; whom nobody may read them to finds no page."""
    rows = access.incidents_visible_to(request.user).order_by("-happened_at")
    if not rows.exists() and not access.reads_incidents(request.user):
        raise Http404
    page = {
        "rows": rows.defer("what", "done", "stays_with"),
        "kept": access.kept_visible_to(request.user).defer("note"),
    }
    return render(request, "live/incidents.html", page)


@login_required
@never_cache
@require_GET
def kept_incident(request: HttpRequest, kept_id: UUID) -> HttpResponse:
    """A note that outlives the erased record of its child."""
    row = access.kept_for(request.user, kept_id)
    lines = actions.read_kept(kept=row, by=common.account(request))
    return render(request, "live/kept_incident.html", {"kept": row, "lines": lines})


@login_required
@never_cache
@require_http_methods(["GET", "POST"])
def incident(request: HttpRequest, incident_id: UUID) -> HttpResponse:
    """One note, and what was added since."""
    row = access.incident_for(request.user, incident_id)
    user = common.account(request)
    watcher = access.author_of(user, row)
    form = _more_form(request, row, access.may_withdraw(user, row))
    if request.method == "POST" and form.is_valid():
        sent = Sent(watcher, form.tap(user, common.device_of(request)))
        try:
            actions.add_to_incident(incident=row, more=form.more(timezone.now()), sent=sent)
            return redirect("live:incident", row.pk)
        except OtherTapError:
            form.add_error(None, _("This page was sent before. Load it again."))
    actions.read_incidents(incidents=[row], by=user)
    return render(request, "live/incident.html", _shown(row, form), status=422 if form.is_bound else 200)


def _more_form(request: HttpRequest, row: Incident, may_withdraw: bool) -> MoreForm:
    start = {"op_id": uuid.uuid4()}
    return MoreForm(
        request.POST or None,
        initial=start,
        session=row.session,
        may_withdraw=may_withdraw,
        day=_local(row, row.happened_at).date(),
    )


def _local(row: Incident, moment: datetime) -> datetime:
    return moment.astimezone(row.session.club.zone)


def _shown(row: Incident, form: MoreForm) -> dict[str, Any]:
    injuries = [hurt for hurt in incident_rows.injuries_of(row.athlete_id) if hurt.incident == row.pk]
    more = row.more.select_related("by", "visitor").order_by("tapped_at", "op_id")
    return {
        "incident": row,
        "form": form,
        "zone": row.session.club.zone,
        "more": more,
        "hurt": injuries[0] if injuries else None,
        "dates": guidance.dates(injuries[0]) if injuries else (),
        "back": reverse("live:incidents"),
        "guide": guidance.cautions(),
    }
