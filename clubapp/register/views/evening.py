"""New child, adults of the evening, and the end of the register."""

from __future__ import annotations

import uuid
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from clubapp.core.device import device_of
from clubapp.core.tell import version_of
from clubapp.planning.models import Session
from clubapp.register import access, actions, queries
from clubapp.register.actions import Adult, OtherTapError
from clubapp.register.forms import AdultForm, NewChildForm
from clubapp.register.page import Page
from clubapp.register.staffing import staffing_of
from clubapp.register.views import common


@login_required
@require_http_methods(["GET", "POST"])
def new_child(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """A child nobody expected. "Here" only by the button that says so."""
    session = access.session_for(request.user, session_id)
    form = _new_child_form(request, session)
    if not form.is_valid():
        return _not_added(request, session, form)
    here, tap = "here" in request.POST, form.tap(common.adult(request), device_of(request))
    try:
        child = actions.add_child(session=session, new=form.new(), here=here, tap=tap)
    except OtherTapError:
        form.add_error(None, _("This page was sent before. Load it again for another child."))
        return _not_added(request, session, form)
    if common.is_fragment(request):
        page = common.shown(request, session)
        return render(request, "register/added.html", common.context_of(page, row=page.row(child.pk)))
    words = _("%(name)s is on the list and marked here.") if here else _("%(name)s is on the list, not marked.")
    messages.success(request, words % {"name": child.first_name})
    return common.back_to_register(request, session, f"#row-{child.pk}")


@login_required
@require_POST
def adult(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """An adult is here or has gone; a member by one tap, others by name."""
    session, form = access.session_for(request.user, session_id), AdultForm(request.POST)
    if not form.is_valid():
        return common.refused(request, session, form)
    tap = form.tap(common.adult(request), device_of(request))
    try:
        actions.mark_adult(session=session, adult=_adult_of(request, session, form), tap=tap)
    except OtherTapError:
        form.add_error("op_id", _("This tap was sent for another adult already. Tap again."))
        return common.refused(request, session, form)
    if not common.is_fragment(request):
        return common.back_to_register(request, session, "#adults")
    return render(request, "register/adult_tapped.html", common.context_of(common.shown(request, session)))


@login_required
@require_GET
def ratio(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Adults beside the children as it stands now, for the page of the groups, which asks every few seconds."""
    session = access.session_for(request.user, session_id)
    context = {"session": session, "staff": staffing_of(request.user, session)}
    return render(request, "register/ratio_live.html", context)


@login_required
@require_POST
def finish(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """The register is done: on to the groups. Who is not marked stays not marked."""
    session = access.led_session_for(request.user, session_id)
    actions.finish_register(session=session, by=common.adult(request))
    left = common.shown(request, session).counts.unmarked
    if left:
        words = ngettext("%(n)d child is not marked.", "%(n)d children are not marked.", left)
        messages.warning(request, words % {"n": left})
    if common.wants_json(request):
        return JsonResponse({"finished": True})  # a phone's queue; the words wait for its next page
    return redirect("rotation:plan", session.pk)


def _new_child_form(request: HttpRequest, session: Session) -> NewChildForm:
    start = {"op_id": uuid.uuid4(), "base_version": version_of(session.pk)}
    sent_as = queries.uuid_or_none(request.POST.get("op_id", ""))
    known = queries.names_and_years(session, but_for=sent_as)
    return NewChildForm(request.POST or None, this_year=session.date.year, known=known, initial=start)


def _not_added(request: HttpRequest, session: Session, form: NewChildForm) -> HttpResponse:
    """A phone that sends from its queue hears the reasons alone."""
    if form.is_bound and common.is_fragment(request):
        return common.refused(request, session, form)
    return _new_child_page(request, session, form)


def _new_child_page(request: HttpRequest, session: Session, form: NewChildForm) -> HttpResponse:
    context = {"form": form, "session": session}
    return render(request, "register/new_child.html", context, status=422 if form.is_bound else 200)


def _adult_of(request: HttpRequest, session: Session, form: AdultForm) -> Adult:
    """Whom the tap means; an id that is neither a member's nor on this register is nobody's."""
    data, page = form.cleaned_data, common.shown(request, session)
    person, name = data["person"], data["name"]
    row = next((row for row in page.staff.adults if row.person == person), None) if person else None
    if person and row is None:
        raise Http404
    return Adult(
        person=person or _person_of(session, page, name),
        name=row.name if row else name,
        here=data["here"],
        eighteen=data["eighteen"],
        user_id=person if row and row.member else None,
    )


def _person_of(session: Session, page: Page, name: str) -> UUID:
    """A typed name: the same name typed twice is the same adult of this evening."""
    typed = [row for row in page.staff.adults if not row.member and row.name.casefold() == name.casefold()]
    return typed[0].person if typed else uuid.uuid5(session.pk, name.casefold())
