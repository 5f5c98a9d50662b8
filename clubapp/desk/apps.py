"""The desk app."""

from __future__ import annotations

from django.apps import AppConfig


class DeskConfig(AppConfig):
    name = "clubapp.desk"
    label = "desk"
