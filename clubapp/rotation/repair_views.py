"""The page that fits the plan to what has happened: it shows who moves and why before anything changes.

While the bell runs the same page stands one floor up, where the bell is known.
"""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from clubapp.people.access import Person
from clubapp.planning.models import Session
from clubapp.rotation import access, actions, queries, repair_asking, repair_page
from clubapp.rotation.actions import RefusedError
from clubapp.rotation.queries import PlanView
from clubapp.rotation.repair_asking import Asking
from clubapp.rotation.views import adult


@login_required
@require_GET
def repair(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """?round= from which round; the rest is what has happened. Nothing is changed by looking."""
    session = access.led_session_for(request.user, session_id)
    plan = queries.current_plan(session.pk)
    if plan is None:
        return redirect("rotation:plan", session.pk)
    if queries.is_running(session.pk):
        return redirect(f"{reverse('live:repair', args=[session.pk])}?{request.GET.urlencode()}")
    asking = _asking(request.user, session, plan)
    form = asking.form(request.GET)
    context = repair_asking.context(asking, form, request.GET.get("open", ""))
    return render(request, "rotation/changed.html", context, status=200 if form.is_valid() else 422)


def _asking(user: Person, session: Session, plan: PlanView) -> Asking:
    look, take = (reverse(f"rotation:{name}", args=[session.pk]) for name in ("repair", "take"))
    full = access.may_know_rules(user, session.club_id)
    return Asking(session, plan, look, take, full, round=repair_page.round_now(session, plan))


@login_required
@require_POST
def take(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Take one of the plans that were shown."""
    session = access.led_session_for(request.user, session_id)
    row = queries.newest(session.pk)
    if row is None:
        return redirect("rotation:plan", session.pk)
    asking = _asking(request.user, session, queries.shown(row))
    form = asking.form(request.POST)
    try:
        if queries.is_running(session.pk):
            raise RefusedError(_("The bell has started meanwhile: look at it again."))
        wish = repair_asking.wished(asking, form, request.POST)
        actions.take(plan=row, case=wish.case, offer=wish.offer, by=adult(request), said=wish.said)
    except RefusedError as error:
        messages.error(request, str(error))
        return redirect(f"{asking.look}?{form.query()}" if form.is_valid() else asking.look)
    return redirect(f"{reverse('rotation:plan', args=[session.pk])}#result")
