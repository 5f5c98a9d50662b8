"""The planning app."""

from __future__ import annotations

from django.apps import AppConfig


class PlanningConfig(AppConfig):
    name = "clubapp.planning"
    label = "planning"
