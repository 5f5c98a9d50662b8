"""The stations of a session."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clubapp.people.access import is_head_coach
from clubapp.planning import access, actions, catalogue
from clubapp.planning.actions import StationDetails
from clubapp.planning.forms import MoveForm, NewStationForm, StationForm, kit_text, station_values


@login_required
@require_POST
def station_new(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """A starter stands at once; one of the coach's own opens for its name."""
    session = access.coached_session_for(request.user, session_id)
    listed = catalogue.offered(session.club)
    form = NewStationForm(request.POST, activities=listed)
    if not form.is_valid():
        messages.error(request, _("Choose one of the stations in the list."))
    elif form.activity:
        actions.add_activity(session=session, code=form.activity, card=catalogue.find(listed, form.activity).card)
    elif form.cleaned_data["starter"]:
        actions.add_starter(session=session, key=form.cleaned_data["starter"])
    else:
        made = actions.add_station(session=session, details=StationDetails(name=_("New station")))
        return redirect("planning:station", made.pk)
    return redirect(_stations(session.pk))


@login_required
@require_http_methods(["GET", "POST"])
def station(request: HttpRequest, station_id: UUID) -> HttpResponse:
    """One station; an assistant reads how it is set up, the head coach changes it."""
    row = access.station_for(request.user, station_id)
    edits = is_head_coach(request.user, row.session.club_id)
    if request.method == "POST":
        row = access.coached_station_for(request.user, station_id)
    form = StationForm(request.POST or None, initial=station_values(row))
    if form.is_valid():
        actions.change_station(station=row, details=form.details())
        return redirect(_stations(row.session_id))
    context = {
        "form": form,
        "station": row,
        "session": row.session,
        "edits": edits,
        "kit": kit_text(row.kit),
        "picture": catalogue.picture_of(row),
        "card": catalogue.card_of(row),
    }
    return render(request, "planning/station.html", context, status=422 if form.is_bound else 200)


@login_required
@require_POST
def station_move(request: HttpRequest, station_id: UUID) -> HttpResponse:
    row, form = access.coached_station_for(request.user, station_id), MoveForm(request.POST)
    if form.is_valid():
        actions.move_station(station=row, step=form.cleaned_data["step"])
    else:
        messages.error(request, _("Tap “earlier” or “later”."))
    return redirect(_stations(row.session_id))


@login_required
@require_POST
def station_remove(request: HttpRequest, station_id: UUID) -> HttpResponse:
    row = access.coached_station_for(request.user, station_id)
    actions.remove_station(station=row)
    messages.success(request, _("“%(name)s” is removed.") % {"name": row.name})
    return redirect(_stations(row.session_id))


def _stations(session_id: UUID) -> str:
    return f"{reverse('planning:session', args=[session_id])}#stations"
