"""Links that work once. Only the hash of a token is kept, so that a stolen copy of the database opens no door."""

from __future__ import annotations

import hashlib
import secrets
from datetime import timedelta

from django.http import Http404, HttpResponse
from django.urls import reverse
from django.utils import timezone

from clubapp.people.models import OneTimeLink

DAYS_GOOD = {
    OneTimeLink.Purpose.SET_UP: 2,
    OneTimeLink.Purpose.GUARDIAN: 14,
    OneTimeLink.Purpose.MEMBER: 14,
}


def new_token() -> str:
    """32 random bytes, as they stand in an address."""
    return secrets.token_urlsafe(32)


def hashed(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def unsaved(token: str, purpose: OneTimeLink.Purpose) -> OneTimeLink:
    """A link for this token, good for the days of its purpose."""
    days = timedelta(days=DAYS_GOOD[purpose])
    return OneTimeLink(token_hash=hashed(token), purpose=purpose, expires_at=timezone.now() + days)


def path_of(token: str, purpose: OneTimeLink.Purpose) -> str:
    name = "people:set_up" if purpose == OneTimeLink.Purpose.SET_UP else "people:invitation"
    return reverse(name, args=[token])


def good_link(token: str, *purposes: OneTimeLink.Purpose) -> OneTimeLink:
    """The link behind a token, or 404 if it is wrong, used or too old: all three look alike from outside."""
    rows = OneTimeLink.objects.select_related("club", "guardian")
    row = rows.filter(token_hash=hashed(token), purpose__in=purposes).first()
    if row is None or row.used_at is not None or row.expires_at <= timezone.now():
        raise Http404
    return row


def unseen(response: HttpResponse) -> HttpResponse:
    """The page's address is a secret: no cache keeps it, no other site learns it, no search engine lists it."""
    response["Cache-Control"] = "no-store"
    response["Referrer-Policy"] = "no-referrer"
    response["X-Robots-Tag"] = "noindex"
    return response
