"""The planning app."""

from __future__ import annotations

from django.apps import AppConfig


class PlanningConfig(AppConfig):
    name = "clubapp.planning"
    label = "planning"

    def ready(self) -> None:
        """Tell phones how long they may keep a page of a session."""
        from clubapp.core.registry import registry
        from clubapp.planning import queries
        from clubapp.planning.actions.keeping import MESSAGES, REVIEWS

        registry.add_ends("planning", queries.end_today)
        registry.add_keeping(REVIEWS)
        registry.add_keeping(MESSAGES)
