"""Messages from the head coach to families."""

from __future__ import annotations

from django.contrib import messages as told
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from clubapp.people import queries as people
from clubapp.people.access import coached_club
from clubapp.people.requests import SignedIn, posted
from clubapp.planning import actions, queries
from clubapp.planning.forms_messages import MessageForm

SESSIONS, SHOWN = 8, 50


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def messages(request: SignedIn) -> HttpResponse:
    """What was written, the newest first, and a new one."""
    club = coached_club(request.user)
    sessions = queries.coming(request.user, club.today()).filter(club=club)[:SESSIONS]
    start = {"to": request.GET.get("to", "")}
    form = MessageForm(posted(request), squads=people.squads(club), sessions=sessions, initial=start)
    if form.is_valid():
        squad, session = form.whom()
        many = actions.write_message(
            squad=squad, session=session, text=form.cleaned_data["text"].strip(), by=request.user
        )
        mails = ngettext(
            "It stands on the families' pages; %(n)d mail goes out.",
            "It stands on the families' pages; %(n)d mails go out.",
            many,
        )
        told.success(request, mails % {"n": many})
        return redirect("planning:messages")
    context = {"form": form, "written": queries.written_messages(club, SHOWN), "zone": club.zone}
    return render(request, "planning/messages.html", context, status=422 if form.is_bound else 200)
