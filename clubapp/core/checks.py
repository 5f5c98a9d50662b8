"""Settings that look harmless and are not: refused by `manage.py check`, and so by every command that starts."""

from __future__ import annotations

import os
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error


def traps(**_: Any) -> list[CheckMessage]:
    """Each with what it would do."""
    found: list[CheckMessage] = []
    if any(host in ("*", "") or host.startswith("*") for host in settings.ALLOWED_HOSTS):
        found.append(_error(1, "A host is a wildcard: any site could open our sockets.", "Name the hosts."))
    if _processes() > 1 and "InMemory" in str(settings.CHANNEL_LAYERS["default"]["BACKEND"]):
        hint = "Set FIELDBELL_REDIS, or WEB_CONCURRENCY to 1."
        found.append(_error(2, "Several processes could not hear one another's bell.", hint))
    return [*found, *_database_traps()]


def _database_traps() -> list[CheckMessage]:
    database: dict[str, Any] = settings.DATABASES["default"]
    found: list[CheckMessage] = []
    if database.get("ATOMIC_REQUESTS"):
        found.append(_error(3, "Every page would hold the database's one pen.", "Leave ATOMIC_REQUESTS off."))
    if database.get("CONN_MAX_AGE"):
        found.append(_error(4, "Kept connections pile up under an async server.", "Leave CONN_MAX_AGE at 0."))
    options: dict[str, Any] = database.get("OPTIONS", {})
    if "sqlite" in str(database["ENGINE"]):
        wal = "journal_mode=WAL" in str(options.get("init_command", ""))
        if not wal or options.get("transaction_mode") != "IMMEDIATE":
            hint = "Keep both journal_mode=WAL and IMMEDIATE."
            found.append(_error(5, "Taps at the same moment would fail instead of waiting.", hint))
    layer: dict[str, Any] = settings.CHANNEL_LAYERS["default"]
    hosts = layer.get("CONFIG", {}).get("hosts", [])
    if any(not isinstance(host, dict) or host.get("socket_timeout", 5) is not None for host in hosts):
        found.append(_error(6, "Redis would end every idle socket after seconds.", "Set socket_timeout to None."))
    return found


def _processes() -> int:
    word = os.environ.get("WEB_CONCURRENCY", "")
    return int(word) if word.isdigit() else 1


def _error(number: int, what: str, hint: str) -> Error:
    return Error(what, hint=hint, id=f"fieldbell.E{number:03d}")
