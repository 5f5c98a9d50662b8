"""The rotation app."""

from __future__ import annotations

from django.apps import AppConfig


class RotationConfig(AppConfig):
    name = "clubapp.rotation"
    label = "rotation"
