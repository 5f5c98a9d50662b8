"""The register app."""

from __future__ import annotations

from django.apps import AppConfig


class RegisterConfig(AppConfig):
    name = "clubapp.register"
    label = "register"

    def ready(self) -> None:
        from clubapp.core.registry import registry
        from clubapp.register import actions, attendance, queries, roster
        from clubapp.register.actions.keeping import MARKS
        from clubapp.register.logged import entries

        registry.add_column(roster.COLUMN)
        registry.add_came("register", attendance.who_came)
        registry.add_last("register", queries.sees_all_off)
        registry.add_child_data("register", export=queries.export_child, erase=actions.erase_child)
        registry.add_merge("register", actions.merge_child)
        registry.add_keeping(MARKS)
        registry.add_logged("register", entries)
