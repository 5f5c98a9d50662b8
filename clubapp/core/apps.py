"""The core app."""

from __future__ import annotations

from django.apps import AppConfig


class CoreConfig(AppConfig):
    name = "clubapp.core"
    label = "core"
