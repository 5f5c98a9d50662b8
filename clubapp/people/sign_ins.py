"""Where an adult is signed in, and the end of it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime

from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.models import Session
from django.utils import timezone

from clubapp.core.registry import registry
from clubapp.core.tell import close_sockets
from clubapp.people.models import User

BROWSER, SINCE = "fieldbell.browser", "fieldbell.since"  # what a sign-in remembers of itself

# The first word that fits says what it is; the order matters, every browser claims to be several others.
DEVICES = ("iPhone", "iPad", "Android", "Windows", "Macintosh", "Linux")
BROWSERS = {"Edg": "Edge", "SamsungBrowser": "Samsung", "Firefox": "Firefox", "FxiOS": "Firefox", "CriOS": "Chrome"}
BROWSERS |= {"Chrome": "Chrome", "Safari": "Safari"}


@dataclass(frozen=True)
class SignIn:
    """handle: names the sign-in on the page without being its key."""

    handle: str
    device: str
    browser: str
    since: datetime | None
    here: bool


def of(user: User, here: str | None) -> list[SignIn]:
    rows = [_shown(session, here) for session in _sessions(user)]
    return sorted(rows, key=lambda row: (not row.here, row.since is None, row.since), reverse=False)


def end(user: User, *, handle: str | None = None, but: str | None = None) -> int:
    """End one sign-in, or all of an adult's but the one with this key. Sockets close and ask who is there."""
    ended = 0
    for session in list(_sessions(user)):
        if (handle is None or _handle(session) == handle) and session.session_key != but:
            registry.sign_out(session.get_decoded())
            session.delete()
            ended += 1
    if ended:
        close_sockets(user.pk)
    return ended


def _sessions(user: User) -> Iterator[Session]:
    for session in Session.objects.filter(expire_date__gt=timezone.now()):
        if session.get_decoded().get(SESSION_KEY) == str(user.pk):
            yield session


def _handle(session: Session) -> str:
    return hashlib.sha256(session.session_key.encode()).hexdigest()[:16]


def _shown(session: Session, here: str | None) -> SignIn:
    data = session.get_decoded()
    words, since = str(data.get(BROWSER, "")), data.get(SINCE)
    return SignIn(
        handle=_handle(session),
        device=next((name for name in DEVICES if name in words), ""),
        browser=next((name for sign, name in BROWSERS.items() if sign in words), ""),
        since=datetime.fromtimestamp(since, UTC) if since else None,
        here=session.session_key == here,
    )
