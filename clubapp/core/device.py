"""Which phone a request comes from: by the name the phone gave itself, the same after signing in again."""

from __future__ import annotations

import hashlib
import re

from django.http import HttpRequest

NAME = re.compile(r"[0-9a-f-]{36}")


def device_of(request: HttpRequest, key: str = "") -> str:
    """Where no script names the phone, each sign-in is one device, and each visitor's key."""
    named = request.headers.get("X-Device", "")
    if NAME.fullmatch(named):
        return named
    return hashlib.sha256((request.session.session_key or key).encode()).hexdigest()[:16]
