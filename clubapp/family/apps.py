"""The family app."""

from __future__ import annotations

from django.apps import AppConfig


class FamilyConfig(AppConfig):
    name = "clubapp.family"
    label = "family"

    def ready(self) -> None:
        """Bring notices to phones, and forget calendars and phones with the sign-in or the child they were for."""
        from clubapp.core.registry import registry
        from clubapp.family import actions, crying, push

        registry.criers["family"] = crying.cry
        registry.couriers[push.PUSH] = push.deliver
        registry.partings["family"] = actions.part
        registry.signed_out["family"] = actions.sign_out_phone
        registry.restored["family"] = actions.forget_all
