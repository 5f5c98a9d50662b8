"""The core app."""

from __future__ import annotations

from django.apps import AppConfig
from django.core.checks import register


class CoreConfig(AppConfig):
    name = "clubapp.core"
    label = "core"

    def ready(self) -> None:
        from clubapp.core.checks import traps
        from clubapp.core.clearing import LOG, MAILS
        from clubapp.core.plain import speak_plainly
        from clubapp.core.registry import registry

        speak_plainly()
        register(traps)
        registry.add_keeping(LOG)
        registry.add_keeping(MAILS)
