"""The core app."""

from __future__ import annotations

from django.apps import AppConfig
from django.core.checks import register


class CoreConfig(AppConfig):
    name = "clubapp.core"
    label = "core"

    def ready(self) -> None:
        from clubapp.core.checks import traps
        from clubapp.core.plain import speak_plainly

        speak_plainly()
        register(traps)
