"""The list of sessions, and one session: made, copied, changed, called off, removed."""

from __future__ import annotations

from datetime import date, time, timedelta
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from clubapp.people.access import coached_club, membership_of
from clubapp.people.models import Club, Role, User
from clubapp.planning import access, actions, queries
from clubapp.planning.actions import PlanError
from clubapp.planning.forms import BlocksForm, EditSessionForm, NewSessionForm
from clubapp.planning.models import Session
from clubapp.planning.page import page_of
from clubapp.planning.setting_out import set_out
from clubapp.planning.term_forms import day_in

PAST_SHOWN = 30


@login_required
@require_GET
def sessions(request: HttpRequest) -> HttpResponse:
    """Coming sessions, then past ones."""
    membership = membership_of(request.user)
    if membership is None:
        raise Http404
    today = membership.club.today()
    context = {
        "coming": queries.coming(request.user, today),
        "past": queries.past(request.user, today)[:PAST_SHOWN],
        "today": today,
        "coaches": membership.role == Role.HEAD_COACH,
    }
    return render(request, "planning/sessions.html", context)


@login_required
@require_http_methods(["GET", "POST"])
def session_new(request: HttpRequest) -> HttpResponse:
    """Filled in like the last one, so that one tap makes it."""
    club = coached_club(request.user)
    form = NewSessionForm(
        request.POST or None, club=club, initial=_like_the_last(club, day_in(request.GET.get("date", "")))
    )
    if not form.is_valid():
        context = {"form": form, "club": club}
        return render(request, "planning/session_new.html", context, status=422 if form.is_bound else 200)
    made = actions.make_session(club=club, squad=form.cleaned_data["squad"], details=form.details(), by=_adult(request))
    set_out(made)
    messages.success(request, _("The session stands, with six stations to start from."))
    return redirect("planning:session", made.pk)


@login_required
@require_http_methods(["GET", "POST"])
def session(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """One session; an assistant reads it, also one who leads it; the head coach changes it."""
    if request.method == "GET":
        row = access.session_for(request.user, session_id)
        return render(request, "planning/session.html", {"page": page_of(request.user, row), "session": row})
    row = access.coached_session_for(request.user, session_id)
    form = EditSessionForm(request.POST, club=row.club, leaders=queries.leaders(row))
    try:
        if form.is_valid():
            details = form.details()
            actions.change_session(session=row, details=details, by=_adult(request))
            messages.success(request, _("Kept."))
            return redirect("planning:session", row.pk)
    except PlanError as error:
        form.add_error("minutes", str(error))
    shown = access.session_for(request.user, session_id)
    context = {"page": page_of(request.user, shown, details=form), "session": shown, "form": form}
    return render(request, "planning/session.html", context, status=422)


@login_required
@require_POST
def blocks(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Minutes typed are kept whichever button was tapped."""
    row = access.coached_session_for(request.user, session_id)
    form = BlocksForm(request.POST, blocks=queries.blocks(row))
    try:
        if form.is_valid():
            with transaction.atomic():  # the typed minutes and the button are one change
                actions.change_block_minutes(session=row, minutes=form.minutes())
                _tapped(form, row)
            return redirect(f"{reverse('planning:session', args=[row.pk])}#blocks")
    except PlanError as error:
        form.add_error(None, str(error))
    context = {"page": page_of(request.user, row, blocks=form), "session": row, "form": form}
    return render(request, "planning/session.html", context, status=422)


@login_required
@require_POST
def session_copy(request: HttpRequest, session_id: UUID) -> HttpResponse:
    row = access.coached_session_for(request.user, session_id)
    copy = actions.copy_session(session=row, by=_adult(request))
    messages.success(request, _("This is the copy; check its date."))
    return redirect("planning:session", copy.pk)


@login_required
@require_POST
def call_off(request: HttpRequest, session_id: UUID) -> HttpResponse:
    row = access.coached_session_for(request.user, session_id)
    actions.call_off_session(session=row, off="off" in request.POST, by=_adult(request))
    return redirect("planning:session", row.pk)


@login_required
@require_POST
def session_remove(request: HttpRequest, session_id: UUID) -> HttpResponse:
    row = access.coached_session_for(request.user, session_id)
    try:
        actions.remove_session(session=row, by=_adult(request))
    except PlanError as error:
        messages.error(request, str(error))
        return redirect("planning:session", session_id)
    messages.success(request, _("The session is removed."))
    return redirect("planning:sessions")


def _tapped(form: BlocksForm, session: Session) -> None:
    """The one button that was tapped, if it was not just "keep"."""
    if block := form.block("earlier"):
        actions.move_block(block=block, step=-1)
    elif block := form.block("later"):
        actions.move_block(block=block, step=1)
    elif block := form.block("remove"):
        actions.remove_block(block=block)
    elif "add" in form.data and form.cleaned_data["add_kind"]:
        kind, minutes = form.cleaned_data["add_kind"], form.cleaned_data["add_minutes"] or 0
        actions.add_block(session=session, kind=kind, minutes=minutes)


def _like_the_last(club: Club, wanted: date | None) -> dict[str, Any]:
    """Start, minutes and place of the latest session, a week later or today; the usual ones for the first."""
    last, today = queries.last_of(club), club.today()
    if last is None:
        return {"date": wanted or today, "starts": time(10, 0), "minutes": 60, "adults": 4}
    day = last.date + timedelta(days=7)
    return {
        "date": wanted or max(day, today),
        "starts": last.starts,
        "minutes": last.minutes,
        "adults": last.adults,
        "place": last.place,
        "meeting_place": last.meeting_place,
        "squad": last.squad_id,
        "venue": last.venue_id,
    }


def _adult(request: HttpRequest) -> User:
    """Behind `login_required` nobody is anonymous."""
    assert isinstance(request.user, User)
    return request.user
