"""Seeing every child off: the session is not over while one of them is still here."""

from __future__ import annotations

from datetime import timedelta
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from clubapp.core import keeping
from clubapp.register import access, actions, pick_ups
from clubapp.register.leaving import ways_of
from clubapp.register.page import BLANKS
from clubapp.register.views import calling, common

LATE = timedelta(minutes=15)  # past the planned end; common practice, no published source


@login_required
@require_GET
def going_home(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Who is still here, and who may take each of them; later whom to ring."""
    session = access.session_for(request.user, session_id)
    page = common.shown(request, session)
    ways = ways_of((row.child.pk for row in page.rows), session.pk, decides=page.may_finish)
    late_from = session.ends_at + LATE
    more = {
        "rows": [(row, ways[row.child.pk]) for row in page.rows],
        "blanks": BLANKS,
        "at": "home",
        "late_at": keeping.milliseconds(late_from),
        "late": timezone.now() >= late_from,
        "rings": timezone.now() < session.ends_at or calling.rings(request, session),
    }
    return render(request, "register/going_home.html", common.context_of(page, **more))


@login_required
@require_POST
def pick_up(request: HttpRequest, session_id: UUID, pick_up_id: UUID) -> HttpResponse:
    """The leader says yes or no to what a guardian asked for; until then nobody new may take the child."""
    session = access.led_session_for(request.user, session_id)
    row = access.pick_up_for(session, pick_up_id)
    names = {"name": row.name, "child": row.athlete.first_name}
    if not pick_ups.standing().filter(pk=row.pk).exists():
        messages.error(request, _("That was taken back or decided meanwhile: look how it stands."))
        return redirect(f"{reverse('register:going_home', args=[session.pk])}#row-{row.athlete_id}")
    yes = request.POST.get("say") == "yes"
    if actions.decide_pick_up(pick_up=row, yes=yes, by=common.adult(request)):
        said = _("%(name)s may take %(child)s today.") if yes else _("%(name)s may not take %(child)s.")
        messages.success(request, said % names)
    else:
        said = _("Not confirmed: this may be an adult who must have no contact with %(child)s. Ask the head coach.")
        messages.error(request, said % names)
    return redirect(f"{reverse('register:going_home', args=[session.pk])}#row-{row.athlete_id}")
