"""The people app."""

from __future__ import annotations

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "clubapp.people"
    label = "people"

    def ready(self) -> None:
        from clubapp.core.registry import registry
        from clubapp.people.actions import erasing, keeping, merging

        registry.add_child_data("people", export=erasing.export_child, erase=erasing.erase_child)
        registry.add_merge("people", merging.merge_child)
        for one in keeping.KEEPINGS:
            registry.add_keeping(one)
