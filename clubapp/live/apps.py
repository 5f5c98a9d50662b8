"""The live app."""

from __future__ import annotations

from django.apps import AppConfig


class LiveConfig(AppConfig):
    name = "clubapp.live"
    label = "live"
