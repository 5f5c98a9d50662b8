"""Expected, no word: ten minutes after the start each guardian is one tap away, and the answer is noted."""

from __future__ import annotations

import uuid
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from clubapp.core.device import device_of
from clubapp.core.plain import NOT_OURS
from clubapp.people.models import Athlete
from clubapp.planning.models import Session
from clubapp.register import access, actions, asking
from clubapp.register.actions import OtherTapError
from clubapp.register.forms_asking import AnswerForm
from clubapp.register.models import Contacted
from clubapp.register.queries import uuid_or_none
from clubapp.register.views import common


@login_required
@require_GET
def no_word(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Children neither marked nor excused, with their guardians; the leader's alone, and every look is in the log."""
    session, now = access.led_session_for(request.user, session_id), timezone.now()
    open_from = asking.open_from(session).astimezone(session.club.zone)
    context = {
        "session": session,
        "rows": _asked(request, session, asking.no_word(session, now)),
        "open_from": open_from,
        "open": now >= open_from,
        "answers": Contacted.Answer.choices,
        "new_id": uuid.uuid4,
    }
    return render(request, "register/no_word.html", context)


@login_required
@require_POST
def asked(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """What a guardian answered."""
    session = access.led_session_for(request.user, session_id)
    named = uuid_or_none(request.POST.get("athlete", ""))
    if named is None:
        messages.error(request, str(NOT_OURS))
        return redirect("register:no_word", session.pk)
    child = access.listed_child(session, named)
    form = AnswerForm(child, request.POST)
    if not form.is_valid():
        messages.error(request, " ".join(str(error) for row in form.errors.values() for error in row))
        return redirect("register:no_word", session.pk)
    tap = form.tap(common.adult(request), device_of(request))
    try:
        actions.note_answer(session=session, athlete=child, noted=form.noted(), tap=tap)
        messages.success(request, _("Noted for %(name)s.") % {"name": child.first_name})
    except OtherTapError:
        messages.error(request, _("This page was sent before. Load it again for another child."))
    return redirect("register:no_word", session.pk)


def _asked(request: HttpRequest, session: Session, children: list[Athlete]) -> list[asking.Asked]:
    if not children:
        return []
    ids = [child.pk for child in children]
    adults = actions.read_contacts(club_id=session.club_id, athlete_ids=ids, by=common.adult(request))
    told = asking.told(session)
    return [
        asking.Asked(
            child,
            tuple(asking.reach(tie, session.club.name, _message(session, child)) for tie in adults[child.pk]),
            tuple(told.get(child.pk, ())),
        )
        for child in children
    ]


def _message(session: Session, child: Athlete) -> str:
    words = {"name": child.first_name, "club": session.club.name, "time": f"{session.starts:%H:%M}"}
    return _("%(name)s is expected at %(club)s since %(time)s, and we have no word. Is %(name)s on the way?") % words


@login_required
@require_GET
def told(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Per child whether a family knows what the session became, with whom to ring where none has said so."""
    session = access.led_session_for(request.user, session_id)
    children = list(access.expected(session).order_by("given_name", "pk"))
    ids = [child.pk for child in children]
    adults = actions.read_contacts(club_id=session.club_id, athlete_ids=ids, by=common.adult(request))
    waiting, confirmed = asking.families(session, children, adults)
    page = {"session": session, "waiting": waiting, "confirmed": confirmed}
    return render(request, "register/told.html", page)
