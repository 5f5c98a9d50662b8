"""The live app."""

from __future__ import annotations

from django.apps import AppConfig


class LiveConfig(AppConfig):
    name = "clubapp.live"
    label = "live"

    def ready(self) -> None:
        """Tell the register whom nobody has cleared, plans who was taken out, and people what is kept of a child."""
        from clubapp.core.registry import registry
        from clubapp.live import actions, guests, incident_rows, notes
        from clubapp.live.actions.keeping import KEEPINGS

        registry.add_row_notes("live", notes.row_notes)
        registry.add_out_of_plan("live", incident_rows.taken_out)
        registry.add_guests("live", guests.guest_of)
        registry.add_child_data("live", export=incident_rows.export_child, erase=actions.erase_child)
        registry.add_stays("live", incident_rows.stays)
        registry.add_merge("live", actions.merge_child)
        for one in KEEPINGS:
            registry.add_keeping(one)
