"""The activity library: the list, a card, and what the head coach makes of it."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from clubapp.people.access import coached_club
from clubapp.people.models import Club
from clubapp.people.requests import SignedIn, posted
from clubapp.planning import access, actions, catalogue, queries
from clubapp.planning.card_forms import CardForm, FilterForm, UseForm
from clubapp.planning.catalogue import Listed

pages = require_http_methods(["GET", "HEAD", "POST"])


@login_required
@require_GET
def cards(request: SignedIn) -> HttpResponse:
    """Starred ones first, then aim by aim."""
    club, changes = access.library_for(request.user)
    form = FilterForm(request.GET)
    form.is_valid()
    listed = catalogue.of_club(club)
    shown = [one for one in listed if not one.put_away and form.fits(one)]
    context = {
        "form": form,
        "starred": [one for one in shown if one.starred],
        "aims": _by_aim(one for one in shown if not one.starred),
        "away": [one for one in listed if one.put_away],
        "number": len(shown),
        "changes": changes,
    }
    return render(request, "planning/cards.html", context)


def _by_aim(listed: Iterable[Listed]) -> list[tuple[str, list[Listed]]]:
    groups = groupby(listed, key=lambda one: one.card.aims[0])
    return [(catalogue.aim_word(aim), list(group)) for aim, group in groups]


@login_required
@require_GET
def card(request: SignedIn, activity: str) -> HttpResponse:
    club, changes = access.library_for(request.user)
    found = catalogue.find(catalogue.of_club(club), activity)
    form = UseForm(sessions=queries.coached_coming(club))
    return render(request, "planning/card.html", {"one": found, "changes": changes, "use": form})


@login_required
@pages
def card_new(request: SignedIn) -> HttpResponse:
    """The words first; then its drawing."""
    club = coached_club(request.user)
    form = CardForm(posted(request))
    if form.is_valid() and form.card:
        row = actions.make_activity(club=club, card=form.card, by=request.user)
        return redirect("library:drawing", row.code)
    return render(request, "planning/card_form.html", {"form": form}, status=422 if form.is_bound else 200)


@login_required
@pages
def card_change(request: SignedIn, activity: str) -> HttpResponse:
    club, found = _coached(request, activity)
    form = CardForm(posted(request), card=found.card)
    if form.is_valid() and form.card:
        actions.change_activity(club=club, code=activity, card=form.card, by=request.user)
        return redirect("library:card", activity)
    context = {"form": form, "one": found}
    return render(request, "planning/card_form.html", context, status=422 if form.is_bound else 200)


@login_required
@require_POST
def card_do(request: SignedIn, activity: str) -> HttpResponse:
    """One button: star, put away, copy, take the own words back."""
    club, found = _coached(request, activity)
    match request.POST.get("do"):
        case "star" | "unstar" as do:
            actions.star_activity(club=club, code=activity, starred=do == "star")
        case "away" | "back" as do:
            actions.put_away(club=club, code=activity, away=do == "away")
        case "copy":
            row = actions.copy_activity(club=club, card=found.card, by=request.user)
            messages.success(request, _("This is the copy: change what you like, the first one stays."))
            return redirect("library:card_change", row.code)
        case "restore":
            actions.restore_activity(club=club, code=activity, by=request.user)
            return redirect("library:cards") if found.own else redirect("library:card", activity)
        case _:
            messages.error(request, _("Tap one of the buttons of the card."))
    return redirect("library:card", activity)


@login_required
@require_POST
def card_use(request: SignedIn, activity: str) -> HttpResponse:
    """Set it up in a session, behind its other stations."""
    club, found = _coached(request, activity)
    form = UseForm(request.POST, sessions=queries.coached_coming(club))
    if not form.is_valid():
        messages.error(request, _("Choose one of the coming sessions."))
        return redirect("library:card", activity)
    session = form.chosen()
    actions.add_activity(session=session, code=activity, card=found.card)
    messages.success(request, _("“%(name)s” is the last station now.") % {"name": found.name})
    return redirect(f"{reverse('planning:session', args=[session.pk])}#stations")


def _coached(request: SignedIn, activity: str) -> tuple[Club, Listed]:
    """The head coach's club and one of its activities, or 404."""
    club = coached_club(request.user)
    return club, catalogue.find(catalogue.of_club(club), activity)
