"""The field plan of a session: stations placed to scale, moved by a tap, set out by a list."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from clubapp.engine import layout as engine
from clubapp.engine.limits import Limit
from clubapp.people.access import is_head_coach
from clubapp.planning import access, actions, queries
from clubapp.planning.field_bridge import field_of, stands
from clubapp.planning.field_forms import PlaceForm
from clubapp.planning.field_page import outcome_words, page_of
from clubapp.planning.models import Session

THINK = Limit(deterministic=0.4)  # about two seconds on an ordinary machine: nobody waits longer on the field


@login_required
@require_GET
def field(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Everybody who works here sees it; the head coach moves stations."""
    session = access.session_for(request.user, session_id)
    return _shown(request, session, None, request.GET.get("station", ""))


@login_required
@require_POST
def field_place(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """All stations anew, from where they stand if that keeps the rules."""
    session = access.coached_session_for(request.user, session_id)
    if session.venue is None:
        messages.error(request, _("Choose a venue for this session first."))
        return redirect("planning:field", session.pk)
    made = field_of(session.venue, queries.stations(session))
    start = engine.Answer(made.placed) if len(made.placed) == len(made.stations) else None
    found = engine.solve(made.problem, limit=THINK, start=start)
    if found.answer is not None:
        actions.place_stations(session=session, stands=stands(made.problem, found.answer))
    say = messages.success if found.answer is not None else messages.error
    say(request, outcome_words(found, made.problem))
    return redirect("planning:field", session.pk)


@login_required
@require_POST
def field_move(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """One station, wherever it was put: what is wrong there is shown at once, and kept all the same."""
    session = access.coached_session_for(request.user, session_id)
    form = PlaceForm(request.POST, stations=tuple(queries.stations(session)))
    if not form.is_valid():
        return _shown(request, session, form, request.POST.get("station", ""))
    one = form.cleaned_data["station"]
    actions.place_stations(session=session, stands={one: form.stand()})
    return redirect(f"{reverse('planning:field', args=[session.pk])}?station={one}")


def _shown(request: HttpRequest, session: Session, form: PlaceForm | None, chosen: str) -> HttpResponse:
    page = page_of(session, chosen)
    row = next((row.station for row in page.rows if row.id == chosen), None)
    initial = {"station": chosen, "x": row.x_m if row else None, "y": row.y_m if row else None}
    shown = form or PlaceForm(stations=tuple(row.station for row in page.rows), initial=initial)
    edits = is_head_coach(request.user, session.club_id)
    context = {"page": page, "session": session, "form": shown, "edits": edits}
    return render(request, "planning/field.html", context, status=422 if form else 200)
