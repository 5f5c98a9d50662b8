"""A long search for fairer groups, and what each rule costs."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from clubapp.planning.models import Session
from clubapp.rotation import access, queries, rule_costs, think_page
from clubapp.rotation.actions import RefusedError, searches
from clubapp.rotation.forms import UndoForm
from clubapp.rotation.views import adult


@login_required
@require_POST
def look_longer(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Start a long search from the plan that was shown; the page tells how far it is."""
    session, form = access.led_session_for(request.user, session_id), UndoForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("Look at the groups again first."))
        return redirect(_result(session))
    try:
        searches.look_longer(session=session, version=form.cleaned_data["version"], by=adult(request))
    except RefusedError as error:
        messages.error(request, str(error))
    return redirect(_result(session))


@login_required
@require_POST
def end_with_best(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Good enough."""
    session = access.led_session_for(request.user, session_id)
    searches.end_with_best(session=session)
    return redirect(_result(session))


@login_required
@require_GET
def progress(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """The lines about the search, asked for again and again; ?version= the plan on the page."""
    session = access.led_session_for(request.user, session_id)
    if not request.headers.get("HX-Request"):
        return redirect(_result(session))
    shown = queries.plan_of_version(session.pk, request.GET.get("version", ""))
    full = access.may_know_rules(request.user, session.club_id)
    panel = think_page.panel(session, shown, full=full)
    context = {"session": session, "think": panel, "version": shown.version if shown else ""}
    answer = render(request, "rotation/think.html", context)
    if request.GET.get("enough") and not (panel and panel.running):
        answer["HX-Refresh"] = "true"  # the coach has just asked for it and waits
    return answer


@login_required
@require_GET
def costs(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """What each rule cost in fairness; the head coach's alone."""
    session = access.coached_session_for(request.user, session_id)
    costed = rule_costs.of_session(session)
    name = "rotation/costs.html#list" if request.headers.get("HX-Request") else "rotation/costs.html"
    return render(request, name, {"session": session, "costed": costed})


def _result(session: Session) -> str:
    return f"{reverse('rotation:plan', args=[session.pk])}#result"
