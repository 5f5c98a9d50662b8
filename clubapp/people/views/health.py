"""A child's health note, and what a guardian wants changed in it."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clubapp.people import access, actions
from clubapp.people.forms.athletes import HealthForm
from clubapp.people.models import Health
from clubapp.people.requests import SignedIn


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def medical_note(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    """Opening this page is the read that the log keeps."""
    child = access.coached_athlete(request.user, athlete_id)
    note = None
    if request.method == "POST":
        form = HealthForm(request.POST)
        if form.is_valid():
            actions.write_medical_note(athlete=child, answer=form.answer(), by=request.user)
            return redirect("people:athlete", child.pk)
    else:
        note = actions.read_medical_notes(athlete_ids=[child.pk], club_id=child.club_id, by=request.user).get(child.pk)
        words = {name: getattr(note, name) for name in ("what_to_do", "note", "to_bring")} if note else {}
        health = Health.NOTE if note and note.what_to_do else child.health
        form = HealthForm(initial={"health": health, **words})
    return render(request, "people/medical_note.html", {"child": child, "form": form, "note": note})


@login_required
@require_POST
def health_proposal(request: SignedIn, athlete_id: UUID, proposal_id: UUID) -> HttpResponse:
    """The head coach takes it over, or not; until then the field sees both."""
    proposal = access.coached_proposal(request.user, athlete_id, proposal_id)
    if request.POST.get("answer") == "take":
        actions.accept_health(proposal=proposal, by=request.user)
        messages.success(request, _("It is the note now."))
    elif request.POST.get("answer") == "leave":
        actions.decline_health(proposal=proposal, by=request.user)
        messages.success(request, _("The note stays as it was. Tell the guardian."))
    return redirect("people:medical_note", athlete_id)
