"""A guardian's pages: own children only."""

from __future__ import annotations

import uuid
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from clubapp.family import access, actions, queries
from clubapp.family.forms import HealthChangeForm
from clubapp.people import actions as people
from clubapp.people.models import User
from clubapp.people.queries import is_old
from clubapp.people.requests import SignedIn
from clubapp.planning.queries import messages_for, news_for

RECENT_DAYS, RECENT_MOST, OLD_DAYS = 14, 3, 180


@login_required
@require_GET
def home(request: SignedIn) -> HttpResponse:
    """Each own child with the sessions to come."""
    rows = access.children_of(request.user).select_related("club").order_by("given_name", "pk")
    children = [queries.child_page(athlete, timezone.now(), request.user.pk) for athlete in rows]
    if phone := request.session.get(actions.PHONE):
        actions.see_phone(user=request.user, subscription_id=phone)
    written = messages_for(request.user, timezone.now(), RECENT_DAYS)[:RECENT_MOST] if children else ()
    context = {"children": children, "written": written, **_shared(request, children)}
    return render(request, "family/home.html", context)


@login_required
@require_GET
def club_messages(request: SignedIn) -> HttpResponse:
    """What the club wrote to this adult's families."""
    if not access.children_of(request.user).exists():
        raise Http404
    written = messages_for(request.user, timezone.now(), OLD_DAYS)
    return render(request, "family/messages.html", {"written": written})


@login_required
@require_GET
def child(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    """One own child: what is to come and where it has been."""
    athlete = access.child_for(request.user, athlete_id)
    page = queries.child_page(athlete, timezone.now(), request.user.pk)
    context = {"child": page, **_shared(request, [page])}
    return render(request, "family/child.html", context)


def _shared(request: SignedIn, children: list[queries.Child]) -> dict[str, Any]:
    return {"new_id": uuid.uuid4, "as_of": queries.as_of(children), "news": news_for(request.user)}


@login_required
@require_GET
def tests(request: HttpRequest, athlete_id: UUID) -> HttpResponse:
    """An own child's results, if the club shares them."""
    athlete = access.child_for(request.user, athlete_id)
    return render(request, "family/tests.html", {"child": athlete, "shown": queries.tests(athlete)})


@login_required
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def health(request: HttpRequest, athlete_id: UUID) -> HttpResponse:
    """The own child's health note, and what the guardian wants changed; both are shown until the club has answered."""
    athlete, by = access.child_for(request.user, athlete_id), request.user
    assert isinstance(by, User)  # behind login_required
    form = HealthChangeForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        people.propose_health(athlete=athlete, by=by, **form.cleaned_data)
        messages.success(request, _("The adults on the field see it at once; the head coach looks at it."))
        return redirect("family:health", athlete.pk)
    notes = people.read_medical_notes(athlete_ids=[athlete.pk], club_id=athlete.club_id, by=by)
    note = notes.get(athlete.pk)
    old = is_old(note, athlete.club.today())
    context = {"child": athlete, "form": form, "note": note, "me": by, "old": old}
    return render(request, "family/health.html", context)
