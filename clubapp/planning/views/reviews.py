"""Three short lines after a session, by the adult who ran it."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.forms import model_to_dict
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clubapp.people.models import User
from clubapp.planning import access, actions, queries
from clubapp.planning.forms import ReviewForm


@login_required
@require_http_methods(["GET", "POST"])
def review(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Kept lines are shown again and may be changed."""
    session = access.led_session_for(request.user, session_id)
    kept = queries.review_of(session)
    form = ReviewForm(request.POST or None, initial=model_to_dict(kept) if kept else None)
    if request.method == "POST" and form.is_valid():
        assert isinstance(request.user, User)
        actions.write_review(session=session, lines=form.lines(), by=request.user)
        messages.success(request, _("Kept. They head the next session of this squad."))
        return redirect("planning:session", session.pk)
    status = 422 if form.is_bound else 200
    return render(request, "planning/review.html", {"session": session, "form": form}, status=status)
