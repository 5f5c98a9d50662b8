"""The games app."""

from __future__ import annotations

from django.apps import AppConfig


class GamesConfig(AppConfig):
    name = "clubapp.games"
    label = "games"

    def ready(self) -> None:
        """Tell people what games hold of a child."""
        from clubapp.core.registry import registry
        from clubapp.games import actions, queries
        from clubapp.games.actions.keeping import GAMES
        from clubapp.games.logged import entries

        registry.add_child_data("games", export=queries.export_child, erase=actions.erase_child)
        registry.add_merge("games", actions.merge_child)
        registry.add_keeping(GAMES)
        registry.add_logged("games", entries)
