"""Squads, and children to keep together or apart."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clubapp.people import access, actions, queries
from clubapp.people.forms.lists import PairForm, SquadForm, SquadListForm
from clubapp.people.requests import SignedIn, posted

pages = require_http_methods(["GET", "HEAD", "POST"])


@login_required
@pages
def squads(request: SignedIn) -> HttpResponse:
    club = access.coached_club(request.user)
    form = SquadForm(club, posted(request))
    if form.is_valid():
        squad = actions.make_squad(club=club, name=form.cleaned_data["name"], by=request.user)
        return redirect("people:squad", squad.pk)
    return render(request, "people/squads.html", {"form": form, "squads": queries.squads(club)})


@login_required
@pages
def squad(request: SignedIn, squad_id: UUID) -> HttpResponse:
    """The squad's name and list, all ticks on one page."""
    row = access.coached_squad(request.user, squad_id)
    form = SquadListForm(row.club, posted(request), squad=row)
    if form.is_valid():
        data = form.cleaned_data
        actions.change_squad(squad=row, name=data["name"], athletes=data["athletes"], by=request.user)
        actions.share_results(squad=row, shared=data["shares_results"], by=request.user)
        return redirect("people:squads")
    return render(request, "people/squad.html", {"squad": row, "form": form})


@login_required
@require_POST
def squad_remove(request: SignedIn, squad_id: UUID) -> HttpResponse:
    row = access.coached_squad(request.user, squad_id)
    try:
        actions.remove_squad(squad=row, by=request.user)
    except ValueError:
        messages.error(request, _("The squad has sessions, so it stays: their registers belong to it."))
    return redirect("people:squads")


@login_required
@pages
def pair_rules(request: SignedIn) -> HttpResponse:
    club = access.coached_club(request.user)
    form = PairForm(club, posted(request))
    if form.is_valid():
        actions.make_pair_rule(club=club, wish=form.wish(), by=request.user)
        return redirect("people:pair_rules")
    return render(request, "people/pair_rules.html", {"form": form, "rules": queries.pair_rules(club)})


@login_required
@pages
def pair_rule(request: SignedIn, rule_id: UUID) -> HttpResponse:
    rule = access.coached_rule(request.user, rule_id)
    form = PairForm(rule.club, posted(request), rule=rule)
    if form.is_valid():
        actions.change_pair_rule(rule=rule, wish=form.wish(), by=request.user)
        return redirect("people:pair_rules")
    return render(request, "people/pair_rule.html", {"form": form, "rule": rule})


@login_required
@require_POST
def pair_rule_remove(request: SignedIn, rule_id: UUID) -> HttpResponse:
    actions.remove_pair_rule(rule=access.coached_rule(request.user, rule_id), by=request.user)
    return redirect("people:pair_rules")
