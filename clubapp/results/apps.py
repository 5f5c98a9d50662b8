"""The results app."""

from __future__ import annotations

from django.apps import AppConfig


class ResultsConfig(AppConfig):
    name = "clubapp.results"
    label = "results"
