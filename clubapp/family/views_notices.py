"""What a guardian tells of a session up to the last minute: cannot come, comes late, somebody else takes it home."""

from __future__ import annotations

import hashlib
import uuid
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from clubapp.core.tell import version_of
from clubapp.family import access, queries
from clubapp.family.forms import LateForm, NoticeForm, PickUpForm
from clubapp.people.models import Athlete
from clubapp.people.requests import SignedIn, posted
from clubapp.planning.models import Session
from clubapp.register import actions as register
from clubapp.register import lateness, pick_ups
from clubapp.register.actions import OtherTapError, Tap


@login_required
@require_POST
def cannot_come(request: SignedIn, session_id: UUID, athlete_id: UUID) -> HttpResponse:
    """Tell the coaches, or take it back; shown in the register as "told us"."""
    athlete = access.child_for(request.user, athlete_id)
    session = access.session_of_child(athlete, session_id)
    form = NoticeForm(request.POST)
    if not form.is_valid():
        return _answered(request, athlete, _("That was not sent: keep the word under 200 letters."), taken=False)
    if queries.is_over(session, timezone.now()):
        return _answered(request, athlete, _("This session is over."), taken=False)
    said, taken = _tell(_tap(request, session, form.cleaned_data), session, athlete, form)
    return _answered(request, athlete, said, taken=taken)


@login_required
@require_POST
def late(request: SignedIn, session_id: UUID, athlete_id: UUID) -> HttpResponse:
    """Comes late, about when; or in time after all. The register shows it and marks nobody."""
    athlete = access.child_for(request.user, athlete_id)
    session = access.session_of_child(athlete, session_id)
    form = LateForm(lateness.times(session), request.POST)
    if not form.is_valid():
        return _answered(
            request,
            athlete,
            _("That was not sent: choose about when, and keep the word under 200 letters."),
            taken=False,
        )
    if queries.is_over(session, timezone.now()):
        return _answered(request, athlete, _("This session is over."), taken=False)
    minutes, word = (None, "") if form.cleaned_data["in_time"] else (form.cleaned_data["minutes"], _word(form))
    tap = _tap(request, session, form.cleaned_data)
    try:
        register.tell_late(session=session, athlete=athlete, minutes=minutes, word=word, tap=tap)
    except OtherTapError:
        return _answered(request, athlete, _("That was sent before. Try once more."), taken=False)
    said = (
        _("The coaches know that %(name)s comes in time.")
        if minutes is None
        else _("The coaches know when %(name)s comes.")
    )
    return _answered(request, athlete, said % {"name": athlete.first_name}, taken=True)


@login_required
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def pick_up(request: SignedIn, session_id: UUID, athlete_id: UUID) -> HttpResponse:
    """Somebody else is to take the child home today: asked for here, and nothing until the leader has confirmed it."""
    tie = access.own_tie(request.user, athlete_id)
    session = access.todays_session(tie.athlete, session_id)
    if request.method == "POST" and "back" in request.POST:
        register.withdraw_pick_up(session=session, tie=tie, by=request.user)
        messages.success(request, _("Your wish is taken back."))
        return redirect("family:home")
    form = PickUpForm(posted(request))
    if form.is_valid():
        picker = register.Picker(**form.cleaned_data)
        register.ask_pick_up(session=session, tie=tie, picker=picker, by=request.user)
        messages.success(
            request, _("Asked. It counts once whoever leads the session has confirmed it: look here again.")
        )
        return redirect("family:home")
    mine = pick_ups.standing().filter(session=session, athlete=tie.athlete, guardian=tie.guardian).exists()
    lines = pick_ups.last_words(tie.athlete, [session.pk], request.user.pk).get(session.pk, [])
    context = {"child": tie.athlete, "session": session, "form": form, "lines": lines, "mine": mine}
    return render(request, "family/pick_up.html", context, status=422 if form.is_bound else 200)


def _word(form: LateForm | NoticeForm) -> str:
    return str(form.cleaned_data["word"]).strip()


def _tap(request: SignedIn, session: Session, data: dict[str, Any]) -> Tap:
    return Tap(
        by=request.user,
        op_id=data["op_id"] or uuid.uuid4(),
        device=data["device"] or hashlib.sha256((request.session.session_key or "").encode()).hexdigest()[:16],
        base_version=version_of(session.pk),
    )


def _tell(tap: Tap, session: Session, athlete: Athlete, form: NoticeForm) -> tuple[str, bool]:
    """What the guardian is told, and whether the notice was taken."""
    try:
        if form.cleaned_data["comes"]:
            register.withdraw_notice(session=session, athlete=athlete, tap=tap)
            return _("The coaches know that %(name)s comes.") % {"name": athlete.first_name}, True
        register.tell_cannot_come(session=session, athlete=athlete, word=_word(form), tap=tap)
        return _("The coaches know that %(name)s cannot come.") % {"name": athlete.first_name}, True
    except OtherTapError:
        return _("That was sent before. Try once more."), False


def _answered(request: SignedIn, athlete: Athlete, said: str, *, taken: bool) -> HttpResponse:
    """To a phone's queue in a line, to a page without scripts as the child's page."""
    if request.get_preferred_type(["text/html", "application/json"]) == "application/json":
        return JsonResponse({"said": said}) if taken else JsonResponse({"error": said}, status=422)
    messages.add_message(request, messages.SUCCESS if taken else messages.ERROR, said)
    return redirect("family:child", athlete.pk)
