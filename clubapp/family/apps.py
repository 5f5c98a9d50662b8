"""The family app."""

from __future__ import annotations

from django.apps import AppConfig


class FamilyConfig(AppConfig):
    name = "clubapp.family"
    label = "family"
