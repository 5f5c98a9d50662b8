"""The adults of the club: who they are, what they may do, and until when what was seen of them holds."""

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
from clubapp.people.actions.members import RECORD
from clubapp.people.forms.members import InviteForm, RecordForm, RoleForm
from clubapp.people.models import Club, Membership, Role
from clubapp.people.requests import SignedIn, posted
from clubapp.people.views.guardians import link_page

pages = require_http_methods(["GET", "HEAD", "POST"])


@login_required
@pages
def members(request: SignedIn) -> HttpResponse:
    """Who works in the club; the welfare officer looks, the head coach asks one more in."""
    club = access.trusted_club(request.user)
    coaches = access.is_head_coach(request.user, club.pk)
    if request.method == "POST" and coaches:
        form = InviteForm(club, request.POST)
        if form.is_valid():
            return _invited(request, club, form)
    else:
        form = InviteForm(club)
    page = {"form": form, "coaches": coaches, "adults": queries.adult_cards(club), "second_step": club.second_step}
    return render(request, "people/members.html", page)


def _invited(request: SignedIn, club: Club, form: InviteForm) -> HttpResponse:
    """By mail if an address was written; else the link is on this answer and nowhere else."""
    asked, email = form.asked(), form.cleaned_data["email"]
    if email:
        host = request.build_absolute_uri("/").rstrip("/")
        actions.mail_member(club=club, asked=asked, email=email, host=host, by=request.user)
        messages.success(request, _("The link is on its way to %(email)s.") % {"email": email})
        return redirect("people:members")
    path = actions.invite_member(club=club, role=asked.role, squads=asked.squads, by=request.user)
    return link_page(request, path, who=str(asked.role.label), back=reverse("people:members"))


@login_required
@pages
def member(request: SignedIn, membership_id: UUID) -> HttpResponse:
    """Role and squads of another adult, and what was seen of any; both by one button."""
    row = access.coached_member(request.user, membership_id)
    seen = RecordForm(row.club.today(), posted(request), initial={name: getattr(row, name) for name in RECORD})
    roles = None
    if row.user_id != request.user.pk:
        roles = RoleForm(row.club, posted(request), initial={"role": row.role, "squads": row.squads.all()})
    if seen.is_valid() and (roles is None or roles.is_valid()):
        return _changed(request, row, seen, roles)
    return render(request, "people/member.html", {"member": row, "seen": seen, "roles": roles})


def _changed(request: SignedIn, row: Membership, seen: RecordForm, roles: RoleForm | None) -> HttpResponse:
    actions.record_adult(membership=row, seen=seen.seen(), by=request.user)
    if roles is not None:
        role, squads = Role(roles.cleaned_data["role"]), roles.cleaned_data["squads"]
        actions.change_member(membership=row, role=role, squads=squads, by=request.user)
    messages.success(request, _("Saved."))
    return redirect("people:members")


@login_required
@require_POST
def member_remove(request: SignedIn, membership_id: UUID) -> HttpResponse:
    actions.remove_member(membership=access.other_member(request.user, membership_id), by=request.user)
    return redirect("people:members")
