"""The core app."""

from __future__ import annotations

from django.apps import AppConfig


class CoreConfig(AppConfig):
    name = "clubapp.core"
    label = "core"

    def ready(self) -> None:
        from clubapp.core.plain import speak_plainly

        speak_plainly()
