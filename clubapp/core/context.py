"""What every template may use."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.http import HttpRequest

from clubapp.core import keeping, sentences

HALF_WAY = "fieldbell.second-step"  # signed in, and has to set up a second step before anything else


def page(request: HttpRequest) -> dict[str, Any]:
    """`secure_page`: whether the browser allows service worker, wake lock and the like here.

    `owner`: whose phone this is; `keep_until`: when it stops showing this page, in milliseconds, if it may be kept;
    `keep_waiting`: when the leader's register stops showing who was not collected; `half_way`: nothing else is open.
    """
    host = request.get_host().rsplit(":", 1)[0]
    return {
        "secure_page": request.is_secure() or host in ("localhost", "127.0.0.1", "[::1]"),
        "public_url": settings.PUBLIC_URL,
        "mail_in_folder": settings.MAIL_IN_FOLDER,
        "half_way": hasattr(request, "session") and bool(request.session.get(HALF_WAY)),
        "guest": not request.user.is_authenticated and keeping.guest_of(request) is not None,
        "owner": keeping.owner_of(request),
        "keep_until": keeping.milliseconds(keeping.until(request)),
        "keep_waiting": keeping.milliseconds(keeping.waits(request)),
        "outbox_words": sentences.outbox(),
    }
