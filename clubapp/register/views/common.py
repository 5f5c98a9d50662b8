"""What the register's views have in common."""

from __future__ import annotations

import uuid
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django_htmx.http import reswap, retarget

from clubapp.core import keeping
from clubapp.core.tell import version_of
from clubapp.people.models import User
from clubapp.planning.models import Session
from clubapp.register import asking
from clubapp.register.forms import MarkForm, NewChildForm
from clubapp.register.page import BLANKS, Page, page_of

AT = "at"  # sent by the page where children are seen off: it has rows and no sums of the register


def adult(request: HttpRequest) -> User:
    """Behind `login_required` and an access fetch nobody is anonymous."""
    if not isinstance(request.user, User):
        raise PermissionDenied
    return request.user


def wants_json(request: HttpRequest) -> bool:
    return request.get_preferred_type(["text/html", "application/json"]) == "application/json"


def is_fragment(request: HttpRequest) -> bool:
    return bool(request.headers.get("HX-Request")) and not request.headers.get("HX-History-Restore-Request")


def shown(request: HttpRequest, session: Session) -> Page:
    return page_of(request.user, session, words=request.GET.get("q", ""))


def context_of(page: Page, **more: Any) -> dict[str, Any]:
    """`new_id` makes a fresh op_id wherever a template asks for one."""
    return {"page": page, "session": page.session, "new_id": uuid.uuid4, **more}


def back_to_register(request: HttpRequest, session: Session, anchor: str = "") -> HttpResponse:
    """Where the tap came from, what was looked for included."""
    if AT in request.POST:
        return redirect(f"{reverse('register:going_home', args=[session.pk])}{anchor}")
    words = request.POST.get("q", "")
    query = f"?{urlencode({'q': words})}" if words else ""
    return redirect(f"{reverse('register:register', args=[session.pk])}{query}{anchor}")


def listed(request: HttpRequest, session: Session, **more: Any) -> dict[str, Any]:
    """The whole screen, with what its script needs to answer a tap before the club has it: blank rows, the form for a
    child nobody expected."""
    start = {"op_id": "", "base_version": version_of(session.pk)}
    new = NewChildForm(this_year=session.date.year, known=frozenset(), initial=start, auto_id="new_%s")
    more["no_word_from"] = keeping.milliseconds(asking.open_from(session)) if asking.may_be_open(session) else None
    more["no_word_now"] = timezone.now() >= asking.open_from(session)
    blank = {
        "blanks": BLANKS,
        "blank": BLANKS[0],
        "other_form": MarkForm(auto_id=False, session_id=session.pk),
        "new_form": new,
    }
    return context_of(shown(request, session), **blank, **more)


def refused(request: HttpRequest, session: Session, form: forms.Form) -> HttpResponse:
    """A tap that could not be understood: nothing was kept, and the page says so."""
    if wants_json(request):
        return JsonResponse({"errors": form.errors.get_json_data()}, status=422)
    errors = [f"{_of(form, name)}{error}" for name, row in form.errors.items() for error in row]
    if is_fragment(request):
        response = render(request, "register/refused.html", {"errors": errors}, status=422)
        return reswap(retarget(response, "#messages"), "innerHTML")
    if AT in request.POST:
        messages.error(request, " ".join(errors))
        return redirect("register:going_home", session.pk)
    return render(request, "register/register.html", listed(request, session, errors=errors), status=422)


def _of(form: forms.Form, name: str) -> str:
    """Which answer an error is about, where the page asked for more than one."""
    field = form.fields.get(name)
    label = field.label if field and not field.widget.is_hidden else None
    return f"{label}: " if label else ""
