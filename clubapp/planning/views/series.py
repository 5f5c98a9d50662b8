"""The term as a calendar, its holidays, and a session that comes again every week."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from clubapp.people.access import coached_club
from clubapp.people.requests import SignedIn, posted
from clubapp.planning import access, actions, calendar, queries
from clubapp.planning.actions import PlanError
from clubapp.planning.actions.sessions import WEEK
from clubapp.planning.term_forms import HolidayForm, SeriesForm, day_in

USUAL_WEEKS = 10
pages = require_http_methods(["GET", "HEAD", "POST"])


@login_required
@pages
def term(request: SignedIn) -> HttpResponse:
    """One button: add a holiday, or take one away."""
    club = coached_club(request.user)
    gone = next((one for one in queries.holidays(club) if str(one.pk) == request.POST.get("remove")), None)
    if gone:
        actions.remove_holiday(holiday=gone, by=request.user)
        return redirect("planning:term")
    form = HolidayForm(posted(request))
    if form.is_valid():
        actions.keep_holiday(club=club, by=request.user, **form.cleaned_data)
        return redirect("planning:term")
    shown = calendar.term_of(club, day_in(request.GET.get("from", "")) or club.today())
    context = {"form": form, "term": shown, "holidays": queries.holidays(club), "today": club.today()}
    return render(request, "planning/term.html", context, status=422 if form.is_bound else 200)


@login_required
@pages
def series(request: SignedIn, session_id: UUID) -> HttpResponse:
    """Nothing is told to families: new sessions stand in their calendar."""
    row = access.coached_session_for(request.user, session_id)
    form = SeriesForm(posted(request), session=row, initial={"until": row.date + USUAL_WEEKS * WEEK})
    try:
        if form.is_valid():
            made = actions.make_series(session=row, until=form.cleaned_data["until"], by=request.user)
            said = ngettext("%(n)d session made.", "%(n)d sessions made.", len(made.days)) % {"n": len(made.days)}
            messages.success(request, " ".join([said, *_left_out(made)]))
            return redirect("planning:term")
    except PlanError as error:
        form.add_error("until", str(error))
    context = {"session": row, "form": form, "holidays": queries.holidays(row.club)}
    return render(request, "planning/series.html", context, status=422 if form.is_bound else 200)


def _left_out(made: actions.Series) -> list[str]:
    off = ", ".join(sorted({name for _day, name in made.off}))
    return [_("Left out: %(names)s.") % {"names": off}] if off else []
