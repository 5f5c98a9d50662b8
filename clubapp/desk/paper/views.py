"""The page that leads to the sheets, and each sheet: to print from the browser, or as a PDF with ?as=pdf."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from clubapp.desk.paper import emergency, press, sheets
from clubapp.desk.paper.ink import inked
from clubapp.people.requests import SignedIn
from clubapp.planning.access import led_session_for, may_edit, session_for
from clubapp.planning.models import Session
from clubapp.rotation.queries import current_plan


@login_required
@require_GET
def paper(request: SignedIn, session_id: UUID) -> HttpResponse:
    """Which sheets there are for this adult."""
    session = session_for(request.user, session_id)
    context = {
        "session": session,
        "leads": may_edit(request.user, session),
        "open": emergency.is_open(session),
        "opens": emergency.opens(session).date(),
        "grouped": current_plan(session.pk) is not None,
        "pdf": press.is_installed(),
    }
    return render(request, "desk/paper.html", context)


@login_required
@require_GET
def session(request: SignedIn, session_id: UUID) -> HttpResponse:
    """The same for everybody who works here: nothing of ability, health or rules."""
    row = session_for(request.user, session_id)
    return _sheet(request, row, "session", {"sheet": sheets.session_sheet(row)})


@login_required
@require_GET
def stations(request: SignedIn, session_id: UUID) -> HttpResponse:
    row = session_for(request.user, session_id)
    return _sheet(request, row, "stations", {"pockets": sheets.pockets(row)})


@login_required
@require_GET
def register(request: SignedIn, session_id: UUID) -> HttpResponse:
    row = session_for(request.user, session_id)
    context = {
        "lines": sheets.lines(request.user, row),
        "spare_children": range(sheets.SPARE_CHILDREN),
        "spare_adults": range(sheets.SPARE_ADULTS),
    }
    return _sheet(request, row, "register", context)


@login_required
@require_GET
def emergency_sheet(request: SignedIn, session_id: UUID) -> HttpResponse:
    """For whoever runs the session, and only round it; every note and number on it is in the log."""
    row = led_session_for(request.user, session_id)
    if not emergency.is_open(row):
        raise Http404
    made = emergency.emergency_sheet(row, request.user)
    return _sheet(request, row, "emergency", {"sheet": made})


def _sheet(request: SignedIn, session: Session, name: str, context: dict[str, Any]) -> HttpResponse:
    """Where no PDF can be made the page itself is shown, and says so."""
    template = f"desk/paper_{name}.html"
    shown = context | {"session": session, "as_of": sheets.as_of(session), "pdf": press.is_installed()}
    if request.GET.get("as") != "pdf":
        return render(request, template, shown)
    html = render_to_string("desk/paper_bare.html", shown | {"body": f"{template}#sheet", "name": name}, request)
    try:
        made = press.pdf_of(inked(html))
    except press.PressError:
        messages.error(request, _("No PDF can be made on this machine. Print this page from the browser."))
        return redirect(request.path)
    answer = HttpResponse(made, content_type="application/pdf")
    file = slugify(f"{name}-{session.squad.name}-{session.date}")
    answer["Content-Disposition"] = f'inline; filename="{file}.pdf"'
    answer["Cache-Control"] = "no-store"
    return answer
