"""Who holds a socket: asked for by the cookies it came with, at the start and again whenever it matters."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from importlib import import_module
from typing import Any
from uuid import UUID

from django.conf import settings
from django.contrib.auth import get_user
from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest, parse_cookie

from clubapp.live import access
from clubapp.live.access import Watcher
from clubapp.live.passes import COOKIE
from clubapp.people import second_step


@dataclass(frozen=True, slots=True)
class Caller:
    """sign_in: the key of a signed-in session. entry: the key in a visitor's cookie."""

    session_id: UUID
    sign_in: str
    entry: str

    @classmethod
    def of(cls, scope: dict[str, Any]) -> Caller:
        cookies = parse_cookie("; ".join(_cookie_lines(scope["headers"])))
        sign_in = cookies.get(settings.SESSION_COOKIE_NAME, "")
        return cls(scope["url_route"]["kwargs"]["session_id"], sign_in, cookies.get(COOKIE, ""))

    def find(self) -> Watcher | None:
        """By account, else by pass; None where neither opens this session any more."""
        request = HttpRequest()
        request.session = import_module(settings.SESSION_ENGINE).SessionStore(self.sign_in or None)
        half_way = request.session.get(second_step.WANTED)
        return access.find(AnonymousUser() if half_way else get_user(request), self.entry, self.session_id)

    def is_signed_out(self) -> bool:
        """Came with a sign-in, which stands no more."""
        store = import_module(settings.SESSION_ENGINE).SessionStore
        return bool(self.sign_in) and not store(self.sign_in).load()


def _cookie_lines(headers: Iterable[tuple[bytes, bytes]]) -> list[str]:
    return [value.decode("latin1") for name, value in headers if name.lower() == b"cookie"]
