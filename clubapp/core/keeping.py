"""What a phone may keep for when there is no network, for whom and until when; and whose queue it may send."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.http import HttpRequest
from django.utils import timezone

from clubapp.core.registry import Guest, registry

# Nothing else is kept on a phone. The page of emergency numbers only after its reader asked for that.
PAGES = (
    "live:bell",
    "live:station",
    "live:stopwatch_at",
    "live:stopwatch_all",
    "live:entry",
    "live:caller_at",
    "live:caller_all",
    "live:game",
    "register:register",
    "register:going_home",
    "rotation:plan",
    "games:game",
    "games:enter_part",
)
ASKED = ("register:emergency",)
# A guardian's pages too only at their wish, renewed at every visit: a week left out takes nothing away.
FAMILY = ("family:home", "family:child")
WITHOUT_CONTACT = timedelta(days=14)
WAITING = ("register:register", "register:going_home")  # the leader's show who was not collected yet for longer
AFTER_END, NOT_COLLECTED = timedelta(minutes=60), timedelta(hours=24)
UNTIL, OWNER, ERASED = "X-Keep-Until", "X-Outbox-Owner", "X-Erased"


def guest_of(request: HttpRequest) -> Guest | None:
    """Looked up once a request."""
    if "fieldbell.guest" not in request.META:
        request.META["fieldbell.guest"] = registry.guest(request)
    guest: Guest | None = request.META["fieldbell.guest"]
    return guest


def owner_of(request: HttpRequest) -> str:
    """Whose phone this is at the moment: an account, else a pass; "" for nobody."""
    user = getattr(request, "user", None)
    if user is not None and user.is_authenticated:
        return str(user.pk)
    guest = guest_of(request)
    return str(guest.id) if guest else ""


def never(request: HttpRequest) -> None:
    """This answer shows what is to be on no phone longer than its page is open; a copy from before may stay."""
    request.META["fieldbell.never"] = True


def until(request: HttpRequest) -> datetime | None:
    """When a phone stops showing this page: an hour after the planned end, or with the pass; None: not to be kept."""
    match = request.resolver_match
    if (
        request.META.get("fieldbell.never")
        or match is None
        or match.view_name not in (*PAGES, *ASKED)
        or "session_id" not in match.kwargs
    ):
        return None
    if "fieldbell.end" not in request.META:
        request.META["fieldbell.end"] = registry.end_today(match.kwargs["session_id"])
    end: datetime | None = request.META["fieldbell.end"]
    if end is None:
        return None
    guest = None if request.user.is_authenticated else guest_of(request)
    last = min(end + AFTER_END, guest.until) if guest else end + AFTER_END
    return last if last > timezone.now() else None


def waits(request: HttpRequest) -> datetime | None:
    """Until when the leader's register goes on showing the children nobody has collected; None: another page or adult.

    Which children these are the phone knows best: what was tapped on it may not have reached us.
    """
    match = request.resolver_match
    if match is None or match.view_name not in WAITING or not request.user.is_authenticated:
        return None
    last = until(request)
    if last is None or not registry.is_last(request.user, match.kwargs["session_id"]):
        return None
    return last + NOT_COLLECTED


def at_wish(request: HttpRequest) -> datetime | None:
    """Until when a guardian's page stays on a phone that hears nothing of us; None: no such page."""
    match = request.resolver_match
    if match is None or match.view_name not in FAMILY or not request.user.is_authenticated:
        return None
    return timezone.now() + WITHOUT_CONTACT


def longest(request: HttpRequest) -> datetime | None:
    """What a phone is told with the page: until when a copy of it may lie there."""
    return waits(request) or until(request) or at_wish(request)


def milliseconds(moment: datetime | None) -> int | None:
    return int(moment.timestamp() * 1000) if moment else None
