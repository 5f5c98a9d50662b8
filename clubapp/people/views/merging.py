"""Two records of one child: looked at side by side, then made one."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clubapp.people import access, actions, queries
from clubapp.people.forms.merging import MergeForm, OtherForm
from clubapp.people.requests import SignedIn
from clubapp.people.same import may_be_one


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def athlete_merge(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    """Choose the other record, see where the two differ, say which one stays."""
    child = access.coached_athlete(request.user, athlete_id)
    choose = OtherForm(child, request.GET or None)
    form = MergeForm(child, request.POST) if request.method == "POST" else None
    if form is not None and form.is_valid():
        actions.merge_children(stays=form.stays, double=form.double, by=request.user)
        _told(request, form.stays.pk)
        return redirect("people:athlete", form.stays.pk)
    other = form.chosen if form else choose.cleaned_data["other"] if choose.is_valid() else None
    rows = queries.club_children(child.club).exclude(pk=child.pk)
    context = {
        "child": child,
        "choose": choose,
        "form": form,
        "other": other,
        "unlike": other is not None and not may_be_one(child, other),
        "beside": queries.side_by_side(child, other) if other else (),
        "likely": [row for row in rows if row.first_name == child.first_name and may_be_one(row, child)],
    }
    return render(request, "people/athlete_merge.html", context, status=422 if form else 200)


def _told(request: SignedIn, athlete_id: UUID) -> None:
    """Also who is restricted now: in the other record the adult may have stood without it."""
    messages.success(request, _("The two records are one. Look through what is below."))
    child = access.coached_athlete(request.user, athlete_id)
    names = [tie.guardian.name for tie in queries.adults_of(child) if tie.restricted]
    if names:
        messages.info(request, _("Contact restricted: %(names)s.") % {"names": ", ".join(dict.fromkeys(names))})
