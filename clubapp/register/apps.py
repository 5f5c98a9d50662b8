"""The register app."""

from __future__ import annotations

from django.apps import AppConfig


class RegisterConfig(AppConfig):
    name = "clubapp.register"
    label = "register"
