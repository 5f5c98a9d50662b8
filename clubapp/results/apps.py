"""The results app."""

from __future__ import annotations

from django.apps import AppConfig


class ResultsConfig(AppConfig):
    name = "clubapp.results"
    label = "results"

    def ready(self) -> None:
        from clubapp.core.registry import registry
        from clubapp.results import actions, queries, roster
        from clubapp.results.keeping import RESULTS

        registry.add_column(roster.COLUMN)
        registry.add_child_data("results", export=queries.export_child, erase=actions.erase_child)
        registry.add_merge("results", actions.merge_child)
        registry.add_keeping(RESULTS)
