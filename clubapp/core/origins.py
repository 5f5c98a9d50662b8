"""Only our own pages may open a socket: a wildcard among the hosts would otherwise let any site ride on the cookie."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlsplit

from channels.security.websocket import WebsocketDenier
from django.conf import settings
from django.http.request import validate_host


class SameOrigin:
    """Lets a socket through when its Origin names the host it connects to and that host is one of ours."""

    def __init__(self, application: Any) -> None:
        self.application = application

    async def __call__(self, scope: Any, receive: Any, send: Any) -> Any:
        headers = {name.lower(): value.decode("latin1") for name, value in scope.get("headers", [])}
        if self.allowed(headers.get(b"origin", ""), headers.get(b"host", "")):
            return await self.application(scope, receive, send)
        return await WebsocketDenier()(scope, receive, send)

    @staticmethod
    def allowed(origin: str, host: str) -> bool:
        if origin in settings.CSRF_TRUSTED_ORIGINS:
            return True
        try:
            parts = urlsplit(origin)
        except ValueError:
            return False
        named = [name for name in settings.ALLOWED_HOSTS if name != "*"]
        return bool(parts.hostname) and parts.netloc == host and validate_host(parts.hostname or "", named)
