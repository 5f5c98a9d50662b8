"""The adults responsible for a child, and the link that gives one of them an account."""

from __future__ import annotations

from uuid import UUID

import segno
from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clubapp.people import access, actions, links
from clubapp.people.forms.athletes import ConsentForm, GuardianForm, NewGuardianForm
from clubapp.people.models import OneTimeLink
from clubapp.people.requests import SignedIn, posted

pages = require_http_methods(["GET", "HEAD", "POST"])
TIED = ("relation", "may_collect", "emergency_order", "restricted")
OWN = ("name", "phone", "email")


@login_required
@pages
def guardian_new(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    child = access.coached_athlete(request.user, athlete_id)
    form = NewGuardianForm(child, posted(request))
    if form.is_valid():
        known = form.cleaned_data["known"]
        actions.add_guardian(athlete=child, details=form.details(), known=known, by=request.user)
        return redirect("people:athlete", child.pk)
    return render(request, "people/guardian_new.html", {"child": child, "form": form})


@login_required
@pages
def guardian(request: SignedIn, athlete_id: UUID, guardian_id: UUID) -> HttpResponse:
    tie = access.coached_tie(request.user, athlete_id, guardian_id)
    now = {name: getattr(tie.guardian, name) for name in OWN} | {name: getattr(tie, name) for name in TIED}
    form = GuardianForm(posted(request), initial=now)
    if form.is_valid():
        actions.change_guardian(tie=tie, details=form.details(), by=request.user)
        messages.success(request, _("Saved."))
        return redirect("people:athlete", athlete_id)
    return render(request, "people/guardian.html", {"child": tie.athlete, "tie": tie, "form": form})


@login_required
@require_POST
def guardian_remove(request: SignedIn, athlete_id: UUID, guardian_id: UUID) -> HttpResponse:
    actions.remove_guardian(tie=access.coached_tie(request.user, athlete_id, guardian_id), by=request.user)
    return redirect("people:athlete", athlete_id)


@login_required
@require_POST
def consent(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    """A guardian said yes or no, and the head coach writes it down; every answer is kept."""
    child = access.coached_athlete(request.user, athlete_id)
    form = ConsentForm(child, request.POST)
    if form.is_valid():
        data = form.cleaned_data
        actions.record_consent(tie=data["guardian"], kind=data["kind"], given=data["given"], by=request.user)
        messages.success(request, _("Saved."))
    else:
        messages.error(request, _("That was not taken: choose which guardian said so."))
    return redirect(f"{reverse('people:athlete', args=[child.pk])}#consents")


@login_required
@require_POST
def guardian_link(request: SignedIn, guardian_id: UUID) -> HttpResponse:
    """The link is on this answer and nowhere else: only its hash is kept."""
    adult = access.coached_guardian(request.user, guardian_id)
    tie = adult.children.select_related("athlete").order_by("athlete__given_name").first()
    if tie is None:
        raise Http404  # restricted for every child: there is nothing to be let in to
    back = reverse("people:athlete", args=[tie.athlete_id])
    if adult.user_id:
        messages.info(request, _("This adult has an account already."))
        return redirect(back)
    if request.POST.get("by") == "mail" and adult.email:
        host = request.build_absolute_uri("/").rstrip("/")
        actions.mail_guardian(guardian=adult, host=host, by=request.user)
        messages.success(request, _("The link is on its way to %(email)s.") % {"email": adult.email})
        return redirect(back)
    path = actions.invite_guardian(guardian=adult, by=request.user)
    return link_page(request, path, who=adult.name, back=back)


def link_page(request: HttpRequest, path: str, *, who: str, back: str) -> HttpResponse:
    """A link to send and the same as a QR code for somebody who stands beside you."""
    address = (settings.PUBLIC_URL + path) if settings.PUBLIC_URL else request.build_absolute_uri(path)
    page = {
        "address": address,
        "square": segno.make(address, error="m").svg_data_uri(scale=5, border=4, light="white"),
        "who": who,
        "back": back,
        "days": links.DAYS_GOOD[OneTimeLink.Purpose.GUARDIAN],  # members have as many
        "only_here": request.get_host().rsplit(":", 1)[0] in ("localhost", "127.0.0.1", "[::1]"),
    }
    return links.unseen(render(request, "people/link.html", page))
