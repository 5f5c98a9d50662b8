"""What guardians keep themselves: what they allow for their children, and where the club reaches them."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clubapp.family import access
from clubapp.family.forms import ConsentForm, ContactForm
from clubapp.people import actions
from clubapp.people.consents import lines
from clubapp.people.requests import SignedIn, posted
from clubapp.planning import actions as planning

pages = require_http_methods(["GET", "HEAD", "POST"])


@login_required
@pages
def consents(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    """Each sentence with what this guardian said and what holds; another guardian's answer is not shown as such."""
    tie = access.own_tie(request.user, athlete_id)
    form = ConsentForm(posted(request))
    if form.is_valid():
        actions.record_consent(tie=tie, by=request.user, **form.cleaned_data)
        messages.success(request, _("Saved. The club sees it at once."))
        return redirect("family:consents", athlete_id)
    context = {"child": tie.athlete, "lines": lines(tie.athlete, tie), "refused": form.is_bound}
    return render(request, "family/consents.html", context, status=422 if form.is_bound else 200)


@login_required
@pages
def contact(request: SignedIn) -> HttpResponse:
    """The own name, phone and e-mail."""
    mine = list(access.own_guardians(request.user))
    if not mine:
        raise Http404
    now = {name: getattr(mine[0], name) for name in ContactForm.base_fields}
    form = ContactForm(posted(request), initial=now)
    if form.is_valid():
        actions.change_own_contact(guardians=mine, contact=form.cleaned_data, by=request.user)
        messages.success(request, _("Saved. The club sees it at once."))
        return redirect("family:home")
    return render(request, "family/contact.html", {"form": form})


@login_required
@require_POST
def know(request: SignedIn, session_id: UUID, athlete_id: UUID) -> HttpResponse:
    """ "I know" that a session was called off, moved or changed: nobody has to ring."""
    tie = access.own_tie(request.user, athlete_id)
    session = access.session_of_child(tie.athlete, session_id)
    planning.confirm_notice(session=session, guardian=tie.guardian, by=request.user)
    messages.success(request, _("The coaches see that you know."))
    return redirect("family:home")
