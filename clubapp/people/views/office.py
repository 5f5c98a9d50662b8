"""The club's office: mails that went out, the log, and concerns for the welfare officer."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from clubapp.core import post
from clubapp.people import access, actions, keeping, queries
from clubapp.people import log as audit
from clubapp.people.forms.office import ConcernForm
from clubapp.people.requests import SignedIn, posted


@login_required
@require_GET
def mails(request: SignedIn) -> HttpResponse:
    """What waits, what went out, what was refused; without a mail server also what would have been read."""
    club = access.coached_club(request.user)
    page = {"mails": post.shown(club.pk), "in_folder": settings.MAIL_IN_FOLDER}
    return render(request, "people/mails.html", page)


@login_required
@never_cache
@require_GET
def log(request: SignedIn) -> HttpResponse:
    """Who read notes and numbers, who changed what about whom; or who marked and planned. Nobody can change it."""
    club = access.trusted_club(request.user)
    wanted = request.GET.get("page", "1")
    number = int(wanted) if wanted.isascii() and wanted.isdigit() and len(wanted) < 6 and int(wanted) else 1
    evenings = request.GET.get("of") == "evenings"
    if evenings:
        lines, older = audit.evening_lines(club, page=number)
    else:
        lines, older = audit.lines(club, welfare=access.is_welfare(request.user, club.pk), page=number)
    page = {"lines": lines, "older": number + 1 if older else None, "evenings": evenings}
    return render(request, "people/log.html", page)


@login_required
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def concern_new(request: SignedIn) -> HttpResponse:
    """Any adult of the club writes; what was sent is shown to its writer no more."""
    club = access.own_club(request.user)
    form = ConcernForm(posted(request))
    if form.is_valid():
        host = request.build_absolute_uri("/").rstrip("/")
        actions.write_concern(club=club, worry=form.worry(), by=request.user, host=host)
        messages.success(request, _("The welfare officer has it."))
        return redirect("desk:home")
    return render(request, "people/concern_new.html", {"form": form, "officers": queries.welfare_officers(club)})


@login_required
@never_cache
@require_GET
def concerns(request: SignedIn) -> HttpResponse:
    """The welfare officer's alone: a note may be about the head coach."""
    club = access.welfare_club(request.user)
    read = [(row, keeping.concern_until(row)) for row in actions.read_concerns(club=club, by=request.user)]
    rows = [(row, until, until < club.today()) for row, until in read]
    return render(request, "people/concerns.html", {"concerns": rows})
