"""Squads, pair rules and the adults who work with them."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clubapp.people import access, actions, queries
from clubapp.people.forms.lists import InviteForm, MemberForm, PairForm, SquadForm, SquadListForm
from clubapp.people.models import Role
from clubapp.people.requests import SignedIn, posted
from clubapp.people.views.guardians import link_page

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


@login_required
@pages
def members(request: SignedIn) -> HttpResponse:
    """Who helps, and a link for one more; the link is on this answer and nowhere else."""
    club = access.coached_club(request.user)
    form = InviteForm(club, posted(request))
    if form.is_valid():
        role, squads = Role(form.cleaned_data["role"]), form.cleaned_data["squads"]
        path = actions.invite_member(club=club, role=role, squads=squads, by=request.user)
        return link_page(request, path, who=str(role.label), back=reverse("people:members"))
    return render(request, "people/members.html", {"form": form, "members": queries.members(club)})


@login_required
@pages
def member(request: SignedIn, membership_id: UUID) -> HttpResponse:
    row = access.coached_member(request.user, membership_id)
    form = MemberForm(row.club, posted(request), initial={"squads": row.squads.all()})
    if form.is_valid():
        actions.change_member(membership=row, squads=form.cleaned_data["squads"], by=request.user)
        return redirect("people:members")
    return render(request, "people/member.html", {"member": row, "form": form})


@login_required
@require_POST
def member_remove(request: SignedIn, membership_id: UUID) -> HttpResponse:
    actions.remove_member(membership=access.coached_member(request.user, membership_id), by=request.user)
    return redirect("people:members")
