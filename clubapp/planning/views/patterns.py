"""Templates: kept from a session, taken into a session."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clubapp.people.requests import SignedIn
from clubapp.planning import access, actions, queries
from clubapp.planning.actions import PlanError
from clubapp.planning.models import Session
from clubapp.planning.term_forms import TemplateForm


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def templates(request: SignedIn, session_id: UUID) -> HttpResponse:
    """One button: keep this session, take a template or the squad's last session in, take a template away."""
    row = access.coached_session_for(request.user, session_id)
    form = TemplateForm(request.POST if "keep" in request.POST else None)
    try:
        if form.is_valid():
            actions.keep_template(session=row, name=form.cleaned_data["name"], by=request.user)
            return redirect("planning:templates", row.pk)
        if request.method == "POST" and not form.is_bound:
            return _tapped(request, row)
    except PlanError as error:
        messages.error(request, str(error))
        return redirect("planning:templates", row.pk)
    context = {"session": row, "form": form, "rows": queries.templates(row.club), "last": _last(row)}
    return render(request, "planning/templates.html", context, status=422 if form.is_bound else 200)


def _last(session: Session) -> Session | None:
    return queries.played_before(session).first()


def _tapped(request: SignedIn, session: Session) -> HttpResponse:
    found = {str(one.pk): one for one in queries.templates(session.club)}
    if gone := found.get(request.POST.get("remove", "")):
        actions.remove_template(template=gone, by=request.user)
        return redirect("planning:templates", session.pk)
    if taken := found.get(request.POST.get("take", "")):
        actions.take_template(session=session, template=taken, by=request.user)
    elif "last" in request.POST and (source := _last(session)):
        actions.copy_into(session=session, source=source, by=request.user)
    else:
        raise PlanError(_("Choose one of the list."))
    messages.success(request, _("Parts and stations are taken in."))
    return redirect("planning:session", session.pk)
