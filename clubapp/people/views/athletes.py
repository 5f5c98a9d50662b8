"""The list of children and the page of one child."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from clubapp.people import access, actions, consents, lists, queries, same
from clubapp.people.forms.athletes import AthleteForm, NewAthleteForm
from clubapp.people.requests import SignedIn, posted

pages = require_http_methods(["GET", "HEAD", "POST"])


@login_required
@require_GET
def athletes(request: SignedIn) -> HttpResponse:
    """Every child of the club by name; those whose details wait for the coach stand in a sentence above."""
    club = access.coached_club(request.user)
    squads = list(club.squads.order_by("name"))
    squad = next((row for row in squads if str(row.pk) == request.GET.get("squad")), None)
    words, only = request.GET.get("words", ""), request.GET.get("only", "")
    rows = lists.children(club, squad=squad, words=words, only=only)
    page = {
        "club": club,
        "squads": squads,
        "squad": squad,
        "words": words,
        "only": only,
        "filters": [(name, title) for name, (title, _whom) in lists.FILTERS.items()],
        "children": queries.cards(rows, club.today()),
        "doubles": same.doubles(queries.roster(club)),
        "waiting": queries.waiting(club).count(),
        "unfinished": queries.cards(queries.roster(club).filter(details_wanted=True), club.today()),
        "left": queries.named(queries.left(club), words),
        "health_waits": queries.waiting_for_a_look(club),
        "health_old": queries.notes_to_ask_again(club, club.today()),
    }
    return render(request, "people/athletes.html", page)


@login_required
@pages
def athlete_new(request: SignedIn) -> HttpResponse:
    club = access.coached_club(request.user)
    form = NewAthleteForm(club, posted(request))
    if form.is_valid():
        squads = form.cleaned_data["squads"]
        child = actions.make_athlete(club=club, details=form.details(), squads=squads, by=request.user)
        return redirect("people:athlete", child.pk)
    return render(request, "people/athlete_new.html", {"form": form})


@login_required
@pages
def athlete(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    """Details to edit, and what else is known: whether there is a health note, the adults, the pair rules."""
    child = access.coached_athlete(request.user, athlete_id)
    form = AthleteForm(child.club, posted(request), instance=child)
    if form.is_valid():
        squads = form.cleaned_data["squads"]
        actions.change_athlete(athlete=child, details=form.details(), squads=squads, by=request.user)
        messages.success(request, _("Saved."))
        return redirect("people:athlete", child.pk)
    page = {
        "child": child,
        "form": form,
        "flagged": bool(queries.flagged([child.pk])),
        "adults": queries.adults_of(child),
        "rules": queries.rules_of(child),
        "consents": consents.lines(child),
        "said": consents.history(child),
    }
    return render(request, "people/athlete.html", page)


@login_required
@require_POST
def athlete_leave(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    child = access.coached_athlete(request.user, athlete_id)
    actions.leave_club(athlete=child, by=request.user)
    return redirect("people:athlete", child.pk)


@login_required
@require_POST
def athlete_return(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    child = access.coached_athlete(request.user, athlete_id)
    actions.return_to_club(athlete=child, by=request.user)
    return redirect("people:athlete", child.pk)


@login_required
@require_POST
def athlete_record(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    """Everything kept about the child, as a file for the family that asks."""
    child = access.coached_athlete(request.user, athlete_id)
    kept = actions.release_record(athlete=child, by=request.user)
    headers = {"Content-Disposition": 'attachment; filename="record.zip"', "Cache-Control": "no-store"}
    return HttpResponse(kept, content_type="application/zip", headers=headers)


@login_required
@pages
def athlete_erase(request: SignedIn, athlete_id: UUID) -> HttpResponse:
    """The one thing that cannot be undone, so the one thing that is asked twice."""
    child = access.coached_athlete(request.user, athlete_id)
    if request.method == "POST" and request.POST.get("sure") == "yes":
        actions.erase_athlete(athlete=child, by=request.user)
        messages.success(request, _("The record is erased."))
        return redirect("people:athletes")
    goes, stays = actions.would_erase(child)
    page = {"child": child, "asked": request.method == "POST", "goes": goes, "stays": stays}
    return render(request, "people/athlete_erase.html", page)
