"""Notices to phones (RFC 8030, RFC 8291, RFC 8292): where one may go, what it says, and how it is handed over.

A notice names nobody and says nothing of health: it is shown on a locked screen, and the push service sees that it
came. An address is what a phone sent us, so it is asked only where it belongs to a push service known to us.
"""

from __future__ import annotations

import importlib.util
import ipaddress
import json
import logging
import socket
from base64 import urlsafe_b64decode, urlsafe_b64encode
from datetime import timedelta
from typing import Any
from urllib.parse import urlsplit

from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from django.conf import settings
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from clubapp.core.models import Outbox
from clubapp.core.post import RefusedError
from clubapp.family.models import PushSubscription
from clubapp.planning.letters import KIND as CHANGES
from clubapp.planning.letters import MESSAGE

PUSH = "push"  # the kind of its rows in the outbox
TOPICS = {CHANGES: "changes", MESSAGE: "messages"}
UNSEEN = timedelta(days=45)
OF_USE_S = 24 * 60 * 60  # so long a service keeps a notice for a phone that is off
TIMEOUT_S = 5
GONE, NEVER = (404, 410), (400, 401, 403, 413)
log = logging.getLogger(__name__)


def is_installed() -> bool:
    """The program that seals notices is an extra: without it the page says so, and nothing else is missing."""
    return importlib.util.find_spec("pywebpush") is not None


def public_key() -> str:
    """What a browser is shown of our key: the point, uncompressed, in base64url."""
    number = int.from_bytes(unpadded(settings.PUSH_KEY), "big")
    point = ec.derive_private_key(number, ec.SECP256R1()).public_key()
    raw = point.public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
    return urlsafe_b64encode(raw).rstrip(b"=").decode()


def unpadded(text: str) -> bytes:
    return urlsafe_b64decode(text + "=" * (-len(text) % 4))


def is_allowed(endpoint: str) -> bool:
    """Whether the address belongs to a push service named in the settings, on that service's own port."""
    try:
        parts = urlsplit(endpoint)
        host, port = parts.hostname or "", parts.port
    except ValueError:
        return False
    if parts.username is not None or parts.password is not None:
        return False
    return any(_is_of(service, parts.scheme, host, port) for service in settings.PUSH_SERVICES)


def _is_of(service: str, scheme: str, host: str, port: int | None) -> bool:
    own = urlsplit(service)
    name = own.hostname or ""
    same = host.endswith(name[1:]) and len(host) >= len(name) if name.startswith("*.") else host == name
    return same and scheme == own.scheme and (port or 443) == (own.port or 443)


def is_public(endpoint: str) -> bool:
    """No address inside a house or a machine, whatever a name server says; one written out in the settings is meant."""
    host = urlsplit(endpoint).hostname or ""
    if any(urlsplit(service).hostname == host for service in settings.PUSH_SERVICES if _is_number(host)):
        return True
    found = socket.getaddrinfo(host, None, type=socket.SOCK_STREAM)
    return all(ipaddress.ip_address(str(place[4][0]).split("%")[0]).is_global for place in found)


def _is_number(host: str) -> bool:
    try:
        ipaddress.ip_address(host)
    except ValueError:
        return False
    return True


def words(topic: str) -> str:
    """The notice as JSON, in the shape that browsers may show by themselves too."""
    body = {
        CHANGES: _("A session was called off or changed. Open the page of your children."),
        MESSAGE: _("The club has written to you. Open the page of your children."),
    }.get(topic, _("Notices of the club come to this phone now."))
    notice = {"title": "Fieldbell", "body": body, "navigate": f"{settings.PUBLIC_URL}{reverse('family:home')}"}
    return json.dumps({"web_push": 8030, "notification": {**notice, "tag": topic.replace(" ", "-")}})


def deliver(row: Outbox) -> None:
    """Hand one notice over.

    Raises:
        RefusedError: nobody is there any more who wanted it, or it will never be taken.
    """
    phone = PushSubscription.objects.filter(pk=row.to).first()
    if phone is None or phone.seen_at < timezone.now() - UNSEEN:
        PushSubscription.objects.filter(pk=row.to).delete()
        raise RefusedError("no phone any more")
    if not is_installed() or not is_allowed(phone.endpoint) or not is_public(phone.endpoint):
        raise RefusedError("cannot be sent")
    _hand_over(phone, row)


def _hand_over(phone: PushSubscription, row: Outbox) -> None:
    from pywebpush import WebPushException, webpush  # an extra, and slow to load

    left = (row.until - timezone.now()).total_seconds() if row.until else OF_USE_S
    try:
        webpush(
            {"endpoint": phone.endpoint, "keys": {"p256dh": phone.p256dh, "auth": phone.auth}},
            data=row.text,
            vapid_private_key=settings.PUSH_KEY,
            vapid_claims={"sub": f"mailto:{settings.DEFAULT_FROM_EMAIL}"},  # a new one each time: it is written into
            ttl=int(max(0, min(left, OF_USE_S))),
            timeout=TIMEOUT_S,
            headers={"Urgency": "high"},
            requests_session=_straight(),
        )
    except WebPushException as error:
        _take_answer(phone, getattr(error.response, "status_code", 0), error)


def _take_answer(phone: PushSubscription, status: int, error: Exception) -> None:
    if status in GONE:
        phone.delete()
    if status in GONE or status in NEVER:
        raise RefusedError(f"the push service says {status}") from error
    raise TimeoutError(f"the push service says {status}") from error


def _straight() -> Any:
    """A redirect could lead anywhere: none is followed."""
    from requests import Session

    class Straight(Session):
        def request(self, *args: Any, **named: Any) -> Any:
            return super().request(*args, **{**named, "allow_redirects": False})

    return Straight()
