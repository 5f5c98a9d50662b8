"""Seeing every child off: the session is not over while one of them is still here."""

from __future__ import annotations

from datetime import timedelta
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from clubapp.core import keeping
from clubapp.register import access
from clubapp.register.leaving import ways_of
from clubapp.register.page import BLANKS
from clubapp.register.views import common

LATE = timedelta(minutes=15)  # past the planned end; common practice, no published source


@login_required
@require_GET
def going_home(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Who is still here, and who may take each of them; later whom to ring."""
    session = access.session_for(request.user, session_id)
    page = common.shown(request, session)
    ways = ways_of((row.child.pk for row in page.rows), decides=page.may_finish)
    late_from = session.ends_at + LATE
    more = {
        "rows": [(row, ways[row.child.pk]) for row in page.rows],
        "blanks": BLANKS,
        "at": "home",
        "late_at": keeping.milliseconds(late_from),
        "late": timezone.now() >= late_from,
    }
    return render(request, "register/going_home.html", common.context_of(page, **more))
