"""The rotation app."""

from __future__ import annotations

from django.apps import AppConfig


class RotationConfig(AppConfig):
    name = "clubapp.rotation"
    label = "rotation"

    def ready(self) -> None:
        """Tell the register who is in no group, and people what plans hold of a child."""
        from clubapp.core.registry import registry
        from clubapp.rotation import actions, notes, queries
        from clubapp.rotation.actions.keeping import PLANS
        from clubapp.rotation.logged import entries

        registry.add_row_notes("rotation", notes.row_notes)
        registry.add_child_data("rotation", export=queries.export_child, erase=actions.erase_child)
        registry.add_merge("rotation", actions.merge_child)
        registry.add_keeping(PLANS)
        registry.add_logged("rotation", entries)
