"""The register's screen and the taps on a child's row."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_POST
from django_htmx.http import reswap, retarget

from clubapp.core.device import device_of
from clubapp.core.tell import version_of
from clubapp.people.access import is_head_coach
from clubapp.people.actions import read_medical_notes
from clubapp.people.models import Athlete
from clubapp.planning.models import Session
from clubapp.register import access, actions, queries
from clubapp.register.actions import Answer, OtherTapError
from clubapp.register.forms import BroughtForm, MarkForm, TapForm, UndoForm
from clubapp.register.page import changed_since
from clubapp.register.views.common import (
    AT,
    adult,
    back_to_register,
    context_of,
    is_fragment,
    listed,
    refused,
    shown,
    wants_json,
)


@login_required
@require_GET
def register(request: HttpRequest, session_id: UUID) -> HttpResponse:
    session = access.session_for(request.user, session_id)
    rest = request.session.get("rest", {})
    undo_rest = rest.get("op_id") if rest.get("session") == str(session.pk) else None
    children = queries.marked_by_rest(session.pk, UUID(undo_rest)) if undo_rest else []
    return render(request, "register/register.html", listed(request, session, undo_rest=undo_rest, of_rest=children))


@login_required
@require_GET
def news(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """What other phones changed since the version this page has seen; nothing new answers with nothing."""
    session = access.session_for(request.user, session_id)
    seen = _number(request.GET.get("since", ""), 0)
    if version_of(session.pk) <= seen:
        return HttpResponse(status=204)
    page = shown(request, session)
    ids = changed_since(session.pk, seen, device_of(request))
    rows = [replace(row, changed=row.child.pk in ids) for row in page.rows if row.child.pk in ids or row.notes]
    # A page that lacks rows goes on lacking them, whatever else changes, until it is loaded anew.
    listed = _number(request.GET.get("listed", ""), len(page.rows))
    told = {"changed": rows, "listed": listed, "more": len(page.rows) - listed, "at": AT in request.GET}
    return render(request, "register/news.html", context_of(page, **told))


@login_required
@require_POST
def mark(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """One tap on a row, or a mark from behind the second tap."""
    session = access.session_for(request.user, session_id)
    form = MarkForm(request.POST, session_id=session.pk, decides=access.may_finish(request.user, session))
    form.is_valid()
    if "athlete" not in form.cleaned_data:
        return refused(request, session, form)
    child = access.listed_child(session, form.cleaned_data["athlete"])
    if not form.is_valid():
        bare = wants_json(request) or AT in request.POST
        return refused(request, session, form) if bare else _other(request, session, child, form)
    tap = form.tap(adult(request), device_of(request))
    if rest := form.part_of():
        actions.mark_rest_absent(session=session, tap=replace(tap, op_id=rest), only=child.pk)
        return _row(request, session, child, {"athlete": str(child.pk)})
    write = partial(actions.mark, session=session, athlete=child, said=form.said(), tap=tap)
    return _written(request, session, child, form, write)


@login_required
@require_POST
def undo(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Take back what an adult marked, on one row or on the rest; a guardian's notice shows again."""
    session, form = access.session_for(request.user, session_id), UndoForm(request.POST)
    if not form.is_valid():
        return refused(request, session, form)
    tap = form.tap(adult(request), device_of(request))
    rest, athlete = form.cleaned_data["rest"], form.cleaned_data["athlete"]
    child = access.listed_child(session, athlete) if athlete else None
    if rest:
        request.session.pop("rest", None)
        actions.take_back_rest(session=session, rest=rest, tap=tap, only=athlete)
    if child is None:
        return back_to_register(request, session)
    if rest:
        return _row(request, session, child, {"athlete": str(child.pk)})
    write = partial(actions.take_back_mark, session=session, athlete=child, tap=tap)
    return _written(request, session, child, form, write)


@login_required
@require_POST
def brought(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Whether what the child's health note speaks of is there today."""
    session, form = access.session_for(request.user, session_id), BroughtForm(request.POST)
    if not form.is_valid():
        return refused(request, session, form)
    child = access.listed_child(session, form.cleaned_data["athlete"])
    tap = form.tap(adult(request), device_of(request))
    there = form.cleaned_data["there"]
    write = partial(actions.note_brought, session=session, athlete=child, there=there, tap=tap)
    return _written(request, session, child, form, write)


@login_required
@require_POST
def rest_not_here(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Everybody nobody has said anything about is not here; shown with its undo."""
    session, form = access.session_for(request.user, session_id), TapForm(request.POST)
    if not form.is_valid():
        return refused(request, session, form)
    tap = form.tap(adult(request), device_of(request))
    ids = actions.mark_rest_absent(session=session, tap=tap)
    said = ngettext("%(n)d child marked not here.", "%(n)d children marked not here.", len(ids)) % {"n": len(ids)}
    messages.info(request, said if ids else _("Everybody was marked already."))
    if ids:
        request.session["rest"] = {"session": str(session.pk), "op_id": str(tap.op_id)}
    return back_to_register(request, session, "#end")


@login_required
@require_GET
def other(request: HttpRequest, session_id: UUID, athlete_id: UUID) -> HttpResponse:
    """The marks behind the second tap."""
    session = access.session_for(request.user, session_id)
    child = access.listed_child(session, athlete_id)
    if is_fragment(request) and "shut" in request.GET:
        return HttpResponse()
    return _other(request, session, child, MarkForm(session_id=session.pk, initial={"athlete": child.pk}), status=200)


@login_required
@require_GET
def health(request: HttpRequest, session_id: UUID, athlete_id: UUID) -> HttpResponse:
    """What to do, for the adults of the session; every look is in the log. The note behind it is the head coach's."""
    session = access.session_for(request.user, session_id)
    child = access.listed_child(session, athlete_id)
    notes = read_medical_notes(athlete_ids=[child.pk], club_id=session.club_id, by=adult(request))
    name = "register/health.html#note" if is_fragment(request) else "register/health.html"
    coach = is_head_coach(request.user, session.club_id)
    context = {"session": session, "child": child, "note": notes.get(child.pk), "coach": coach}
    return render(request, name, context)


def _written(
    request: HttpRequest, session: Session, child: Athlete, form: TapForm, write: Callable[[], Answer]
) -> HttpResponse:
    """The row as the tap left it, or why it was not taken."""
    try:
        answer = write()
    except OtherTapError:
        form.add_error("op_id", _("This tap was sent for another child already. Tap again."))
        return refused(request, session, form)
    return _row(request, session, child, answer)


def _row(request: HttpRequest, session: Session, child: Athlete, answer: dict[str, Any]) -> HttpResponse:
    """Only the row and the counts for a page that asked so, the kept answer for a phone that sends from its box."""
    if wants_json(request):
        return JsonResponse(answer)
    if not is_fragment(request):
        return back_to_register(request, session, f"#row-{child.pk}")
    page = shown(request, session)
    name = "register/row.html" if AT in request.POST else "register/tapped.html"
    return render(request, name, context_of(page, row=page.row(child.pk)))


def _other(request: HttpRequest, session: Session, child: Athlete, form: MarkForm, status: int = 422) -> HttpResponse:
    name = "register/other.html#marks" if is_fragment(request) else "register/other.html"
    page = shown(request, session)
    row = page.row(child.pk)
    ticked = request.POST.getlist("leave_out") or (row.mark.leave_out if row.mark else ())
    response = render(request, name, context_of(page, row=row, form=form, ticked=ticked), status=status)
    return reswap(retarget(response, f"#more-{child.pk}"), "innerHTML") if is_fragment(request) else response


def _number(text: str, otherwise: int) -> int:
    return int(text) if text.isdecimal() and len(text) < 10 else otherwise
