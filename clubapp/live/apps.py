"""The live app."""

from __future__ import annotations

from django.apps import AppConfig


class LiveConfig(AppConfig):
    name = "clubapp.live"
    label = "live"

    def ready(self) -> None:
        """Tell core who holds a pass."""
        from clubapp.core.registry import registry
        from clubapp.live import guests

        registry.add_guests("live", guests.guest_of)
