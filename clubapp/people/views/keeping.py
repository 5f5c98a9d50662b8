"""How long things are kept, and the clean-up that says first what it will do."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from clubapp.people import access, actions
from clubapp.people import keeping as kept
from clubapp.people.actions import NotAsShownError
from clubapp.people.forms.keeping import PeriodsForm
from clubapp.people.models import Club
from clubapp.people.requests import SignedIn, posted


@login_required
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def keeping(request: SignedIn) -> HttpResponse:
    """The periods, and what is older than them today."""
    club = access.coached_club(request.user)
    form = PeriodsForm(club, posted(request))
    if form.is_valid():
        actions.set_periods(club=club, months=form.months(), by=request.user)
        messages.success(request, _("Saved. Look at the list: it goes by the new periods."))
        return redirect("people:keeping")
    return _page(request, club, form)


def _page(request: SignedIn, club: Club, form: PeriodsForm, *, wrong: str = "") -> HttpResponse:
    found = kept.going(club)
    page = {"club": club, "form": form, "going": found, "shown": kept.mark_of(found), "wrong": wrong}
    return render(request, "people/keeping.html", page, status=422 if wrong else 200)


@login_required
@never_cache
@require_POST
def tidy(request: SignedIn) -> HttpResponse:
    """Remove what the list said, and nothing that it did not say."""
    club = access.coached_club(request.user)
    if request.POST.get("sure") != "yes":
        return _page(request, club, PeriodsForm(club), wrong=_("Tick the line below the list first."))
    try:
        actions.tidy(club=club, shown=request.POST.get("shown", ""), by=request.user)
    except NotAsShownError:
        return _page(request, club, PeriodsForm(club), wrong=_("The list has changed meanwhile: look at it again."))
    messages.success(request, _("Removed. The log says what kind, not whom."))
    return redirect("people:keeping")


@login_required
@never_cache
@require_POST
def tidy_monthly(request: SignedIn) -> HttpResponse:
    """Every month by itself from now on, or no more."""
    club, wanted = access.coached_club(request.user), request.POST.get("wanted") == "yes"
    try:
        actions.tidy_monthly(club=club, wanted=wanted, shown=request.POST.get("shown", ""), by=request.user)
    except NotAsShownError:
        return _page(request, club, PeriodsForm(club), wrong=_("The list has changed meanwhile: look at it again."))
    messages.success(request, _("Saved."))
    return redirect("people:keeping")


@login_required
@require_POST
def concern_remove(request: SignedIn, concern_id: UUID) -> HttpResponse:
    """The welfare officer's, when its time is over; until then there is no such thing to do."""
    actions.remove_concern(concern=access.spent_concern(request.user, concern_id), by=request.user)
    messages.success(request, _("Removed."))
    return redirect("people:concerns")
