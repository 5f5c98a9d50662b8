"""What the club's head coach, and for the log the welfare officer, looks up: mails that went out."""

from __future__ import annotations

from django.conf import settings
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from clubapp.core import post
from clubapp.people import access
from clubapp.people.requests import SignedIn


@login_required
@require_GET
def mails(request: SignedIn) -> HttpResponse:
    """What waits, what went out, what was refused; without a mail server also what would have been read."""
    club = access.coached_club(request.user)
    page = {"mails": post.shown(club.pk), "in_folder": settings.MAIL_IN_FOLDER, "folder": settings.MAIL_FOLDER}
    return render(request, "people/mails.html", page)
