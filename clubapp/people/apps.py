"""The people app."""

from __future__ import annotations

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "clubapp.people"
    label = "people"
