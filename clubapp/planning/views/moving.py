"""A session moved to another venue, indoors for the most part."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clubapp.people.requests import SignedIn
from clubapp.planning import access, actions, moving, queries
from clubapp.planning.actions import PlanError
from clubapp.planning.models import Session, Venue


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def move(request: SignedIn, session_id: UUID) -> HttpResponse:
    """What it would come to, with the coach's choices; only "move" writes."""
    session = access.coached_session_for(request.user, session_id)
    venues = queries.elsewhere(session)
    venue = _venue(venues, request.POST.get("to") or request.GET.get("to", ""))
    if venue is None:
        return render(request, "planning/move.html", {"session": session})
    wanted = {name.removeprefix("at-"): value for name, value in request.POST.items() if name.startswith("at-")}
    proposed = moving.proposal(session, venue, {name: str(value) for name, value in wanted.items()})
    if request.POST.get("do") == "move":
        return _moved(request, session, proposed)
    indoors = venue.indoors and not (session.venue and session.venue.indoors)
    context = {"session": session, "move": proposed, "venues": venues, "venue": venue, "indoors": indoors}
    return render(request, "planning/move.html", context)


def _venue(venues: list[Venue], wanted: str) -> Venue | None:
    return next((one for one in venues if str(one.pk) == wanted), venues[0] if venues else None)


def _moved(request: SignedIn, session: Session, proposed: moving.Move) -> HttpResponse:
    venue = proposed.venue
    try:
        actions.move_session(
            session=session, venue=venue, stands=proposed.stands, instead=proposed.instead, by=request.user
        )
    except PlanError as error:
        messages.error(request, str(error))
        return redirect("planning:session", session.pk)
    messages.success(request, _("Moved: %(name)s. Groups and times are as they were.") % {"name": venue.name})
    return redirect("planning:field", session.pk)
