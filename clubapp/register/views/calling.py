"""Whom to ring for the children who are here today."""

from __future__ import annotations

from datetime import timedelta
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from clubapp.core import keeping
from clubapp.planning.models import Session
from clubapp.register import access, queries
from clubapp.register.calls import calls_for
from clubapp.register.views.common import adult, shown


@login_required
@require_GET
def emergency(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """The leader sees every number of each child, an assistant the one to ring first; both only round the session.

    To the leader the page stays until the last child has gone.
    """
    session = access.session_for(request.user, session_id)
    if not rings(request, session):
        raise Http404
    until, waiting = keeping.until(request), queries.waiting(session.pk)
    rows = [row for row in shown(request, session).rows if row.child.pk in waiting]
    calls = calls_for(session, rows, every=access.may_finish(request.user, session), by=adult(request))
    wall = None
    if until:  # without a zone: the page would change it to the server's
        wall = until.astimezone(session.club.zone).replace(tzinfo=None)
    return render(request, "register/emergency.html", {"session": session, "calls": calls, "until": wall})


def rings(request: HttpRequest, session: Session) -> bool:
    """Whether this adult may have numbers now."""
    if keeping.until(request) is not None:
        return True
    return _sees_off(request, session) and bool(queries.waiting(session.pk))


def _sees_off(request: HttpRequest, session: Session) -> bool:
    """For a day after the planned end: an old register in which nobody wrote down who left is no reason to ring."""
    over = timezone.now() - session.ends_at
    return timedelta() < over < keeping.NOT_COLLECTED and access.may_finish(request.user, session)
