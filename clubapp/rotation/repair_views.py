"""The page that fits the plan to what has happened: it shows who moves and why before anything changes."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from clubapp.planning import queries as planning
from clubapp.planning.models import Session
from clubapp.rotation import access, actions, queries, repair_page, sentences
from clubapp.rotation.actions import RefusedError
from clubapp.rotation.building import Clash
from clubapp.rotation.forms import ChangesForm
from clubapp.rotation.queries import PlanView
from clubapp.rotation.views import adult


@login_required
@require_GET
def repair(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """?round= from which round; ?closed=, ?merged= and ?lost= what has happened. Nothing is changed by looking."""
    session = access.led_session_for(request.user, session_id)
    plan = queries.current_plan(session.pk)
    if plan is None:
        return redirect("rotation:plan", session.pk)
    form = ChangesForm(_asked(request.GET, session, plan), plan, planning.stations(session))
    context = {"session": session, "plan": plan, "form": form}
    if not form.is_valid():
        return render(request, "rotation/changed.html", context, status=422)
    full = access.may_know_rules(request.user, session.club_id)
    return render(request, "rotation/changed.html", context | _offered(session, plan, form, full=full))


def _asked(sent: QueryDict, session: Session, plan: PlanView) -> QueryDict:
    """Without a round said, the one the planned times are in."""
    asked = sent.copy()
    if "round" not in asked:
        asked["round"] = str(repair_page.round_now(session, plan))
    return asked


def _offered(session: Session, plan: PlanView, form: ChangesForm, *, full: bool) -> dict[str, Any]:
    try:
        case = actions.case_of(session, plan, form.changes(), form.cleaned_data["round"])
    except RefusedError as error:
        return {"refused": str(error)}
    known = {"facts": repair_page.facts(case), "case": case, "stations": case.evening.stations}
    if case.nothing:
        return known
    found = repair_page.proposals(case, full=full)
    if isinstance(found, Clash):
        return {**known, "clash": [sentences.rule(reason, full=full) for reason in found.reasons]}
    return {**known, "proposals": found}


@login_required
@require_POST
def take(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Take one of the plans that were shown."""
    session = access.led_session_for(request.user, session_id)
    row = queries.newest(session.pk)
    if row is None:
        return redirect("rotation:plan", session.pk)
    form = ChangesForm(request.POST, queries.shown(row), planning.stations(session))
    try:
        if not form.is_valid():
            raise RefusedError(_("Something changed meanwhile: look at it again."))
        choice = (request.POST.get("key", ""), request.POST.get("mark", ""))
        actions.repair(
            plan=row, changes=form.changes(), at_round=form.cleaned_data["round"], by=adult(request), choice=choice
        )
    except RefusedError as error:
        messages.error(request, str(error))
        return redirect("rotation:repair", session.pk)
    return redirect(f"{reverse('rotation:plan', args=[session.pk])}#result")
