"""Safety of one session on one page. Readings stand in the address and are kept nowhere."""

from __future__ import annotations

from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from clubapp.register import access
from clubapp.register.forms_safety import HeatForm
from clubapp.register.safety import page_of


@login_required
@require_GET
def safety(request: HttpRequest, session_id: UUID) -> HttpResponse:
    session = access.session_for(request.user, session_id)
    form = HeatForm(request.GET or None)
    heat = form.heat() if form.is_valid() else ()
    context = {"page": page_of(request.user, session, heat), "session": session, "form": form}
    return render(request, "register/safety.html", context, status=422 if form.errors else 200)
