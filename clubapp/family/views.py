"""A guardian's pages: own children only."""

from __future__ import annotations

import hashlib
import uuid
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from clubapp.core.tell import version_of
from clubapp.family import access, queries
from clubapp.family.forms import HealthChangeForm, NoticeForm
from clubapp.people import actions as people
from clubapp.people.models import Athlete, User
from clubapp.people.queries import is_old
from clubapp.planning.models import Session
from clubapp.planning.queries import news_for
from clubapp.register import actions as register
from clubapp.register.actions import OtherTapError, Tap


@login_required
@require_GET
def home(request: HttpRequest) -> HttpResponse:
    """Each own child with the sessions to come."""
    rows = access.children_of(request.user).select_related("club").order_by("given_name", "pk")
    children = [queries.child_page(athlete, timezone.now()) for athlete in rows]
    context = {"children": children, **_shared(request, children)}
    return render(request, "family/home.html", context)


@login_required
@require_GET
def child(request: HttpRequest, athlete_id: UUID) -> HttpResponse:
    """One own child: what is to come and where it has been."""
    athlete = access.child_for(request.user, athlete_id)
    page = queries.child_page(athlete, timezone.now())
    context = {"child": page, **_shared(request, [page])}
    return render(request, "family/child.html", context)


def _shared(request: HttpRequest, children: list[queries.Child]) -> dict[str, Any]:
    assert isinstance(request.user, User)  # behind login_required
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


@login_required
@require_POST
def cannot_come(request: HttpRequest, session_id: UUID, athlete_id: UUID) -> HttpResponse:
    """Tell the coaches, or take it back; shown in the register as "told us"."""
    athlete = access.child_for(request.user, athlete_id)
    session = access.session_of_child(athlete, session_id)
    form = NoticeForm(request.POST)
    if not form.is_valid():
        said, taken = _("That was not sent: keep the word under 200 letters."), False
    elif queries.is_over(session, timezone.now()):
        said, taken = _("This session is over."), False
    else:
        said, taken = _tell(request, session, athlete, form)
    if request.get_preferred_type(["text/html", "application/json"]) == "application/json":
        return JsonResponse({"said": said}) if taken else JsonResponse({"error": said}, status=422)
    messages.add_message(request, messages.SUCCESS if taken else messages.ERROR, said)
    return redirect("family:child", athlete.pk)


def _tell(request: HttpRequest, session: Session, athlete: Athlete, form: NoticeForm) -> tuple[str, bool]:
    """What the guardian is told, and whether the notice was taken."""
    assert isinstance(request.user, User)  # behind login_required
    tap = Tap(
        by=request.user,
        op_id=form.cleaned_data["op_id"] or uuid.uuid4(),
        device=form.cleaned_data["device"]
        or hashlib.sha256((request.session.session_key or "").encode()).hexdigest()[:16],
        base_version=version_of(session.pk),
    )
    try:
        if form.cleaned_data["comes"]:
            register.withdraw_notice(session=session, athlete=athlete, tap=tap)
            return _("The coaches know that %(name)s comes.") % {"name": athlete.first_name}, True
        word = form.cleaned_data["word"].strip()
        register.tell_cannot_come(session=session, athlete=athlete, word=word, tap=tap)
        return _("The coaches know that %(name)s cannot come.") % {"name": athlete.first_name}, True
    except OtherTapError:
        return _("That was sent before. Try once more."), False
