"""The pages of groups and rotation."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from clubapp.core.onward import own_path
from clubapp.people.models import User
from clubapp.planning.models import Session
from clubapp.register.staffing import staffing_of
from clubapp.rotation import access, actions, clashes, effects, queries, sentences, think_page
from clubapp.rotation.actions import Order, RefusedError
from clubapp.rotation.building import Clash
from clubapp.rotation.forms import LockForm, MoveForm, PlaceForm, UndoForm, WishesForm, filled
from clubapp.rotation.models import Plan
from clubapp.rotation.page import Page, page_of


@login_required
@require_GET
def plan(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """The wishes before there is a plan, and the plan afterwards; ?child= selects a child to move."""
    return _page(request, access.session_for(request.user, session_id))


def _page(
    request: HttpRequest, session: Session, *, form: WishesForm | None = None, status: int = 200, **more: Any
) -> HttpResponse:
    page = page_of(request.user, session)
    context = {"page": page, "session": session, **more}
    if page.leads:
        context |= _settings(page, form)
        context["chosen"] = _chosen(page, request.GET.get("child", ""))
        context["think"] = think_page.panel(session, page.plan, full=page.full)
    name = "rotation/plan.html#result"
    if not request.headers.get("HX-Request"):
        name, context["staff"] = "rotation/plan.html", staffing_of(request.user, session)
    return render(request, name, context, status=status)


def _settings(page: Page, form: WishesForm | None) -> dict[str, Any]:
    last = queries.last_plan(page.session)
    wishes = effects.proposed(page.evening, page.plan, last)
    return {
        "form": form or filled(wishes),
        "asked": sentences.asked(wishes),
        "left_out": len(wishes.dropped),
        "suggested": effects.suggested_count(page.evening),
        "last": last,
    }


def _chosen(page: Page, child: str) -> dict[str, Any] | None:
    """The child that the coach tapped and the group it stands in, if it stands on the page."""
    for card in page.cards:
        for one in card.children:
            if str(one.id) == child:
                return {"id": one.id, "name": one.name, "child": one, "card": card}
    late = next((one for one in page.late if str(one.id) == child), None)
    return {"id": late.id, "name": late.name} if late else None


@login_required
@require_POST
def build(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Make groups afresh, or adapt last week's; impossible wishes come back as the rules that clash."""
    session = access.led_session_for(request.user, session_id)
    form = WishesForm(request.POST)
    if not form.is_valid():
        return _page(request, session, form=form, status=422, open_settings=True)
    order = Order(session, adult(request), form.wishes(), over_running="over_running" in request.POST)
    make = actions.adapt_last_groups if request.POST.get("start") == "last" else actions.make_groups
    try:
        made = make(order=order)
    except RefusedError as error:
        return _page(request, session, form=form, status=422, refused=str(error))
    if isinstance(made, Clash):
        full = access.may_know_rules(request.user, session.club_id)
        rows = clashes.ways_out(made, order, form.hidden(), full=full)
        return _page(request, session, form=form, status=422, clashes=rows)
    return redirect(_result(session))


@login_required
@require_POST
def move(request: HttpRequest, session_id: UUID) -> HttpResponse:
    session, form = access.led_session_for(request.user, session_id), MoveForm(request.POST)
    if not form.is_valid():
        return _answer(request, session, _("Tap a child, then a group."))
    child, group = form.cleaned_data["athlete"], form.cleaned_data["group"]
    act = partial(actions.move_child, session=session, athlete_id=child, group=group, by=adult(request))
    return _answer(request, session, _tried(act))


@login_required
@require_POST
def place(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """One tap for a child who is here but in no group; from the register or the bell it leads back there."""
    session, form = access.led_session_for(request.user, session_id), PlaceForm(request.POST)
    if not form.is_valid():
        return _answer(request, session, _("Tap a child who is in no group."))
    child = form.cleaned_data["athlete"]
    act = partial(actions.place_child, session=session, athlete_id=child, by=adult(request))
    return _answer(request, session, _tried(act))


@login_required
@require_POST
def lock(request: HttpRequest, session_id: UUID) -> HttpResponse:
    session, form = access.led_session_for(request.user, session_id), LockForm(request.POST)
    if not form.is_valid():
        return _answer(request, session, _("Tap a child or a group to lock."))
    token, on = form.cleaned_data["token"], form.cleaned_data["on"]
    act = partial(actions.set_lock, session=session, token=token, on=on, by=adult(request))
    return _answer(request, session, _tried(act))


@login_required
@require_POST
def undo(request: HttpRequest, session_id: UUID) -> HttpResponse:
    session, form = access.led_session_for(request.user, session_id), UndoForm(request.POST)
    if not form.is_valid():
        return _answer(request, session, _("Look at the groups again before you undo."))
    version = form.cleaned_data["version"]
    act = partial(actions.undo, session=session, version=version, by=adult(request))
    return _answer(request, session, _tried(act))


# What every change by hand has in common


def _tried(act: Callable[[], Plan]) -> str:
    """Do it; "" or the sentence that says why not."""
    try:
        act()
    except RefusedError as error:
        return str(error)
    return ""


def _answer(request: HttpRequest, session: Session, refused: str) -> HttpResponse:
    """The fragment for a page that asked for it, otherwise back to where the tap came from."""
    if request.headers.get("HX-Request"):
        return _page(request, session, refused=refused)
    if refused:
        messages.error(request, refused)
    return redirect(own_path(request, request.POST.get("next", "")) or _result(session))


def _result(session: Session) -> str:
    return f"{reverse('rotation:plan', args=[session.pk])}#result"


def adult(request: HttpRequest) -> User:
    """Behind `login_required` and an access fetch nobody is anonymous."""
    if not isinstance(request.user, User):
        raise PermissionDenied
    return request.user
