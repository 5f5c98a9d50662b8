"""Addresses of the pages on progress."""

from __future__ import annotations

from django.urls import path

from clubapp.results import progress_views

app_name = "progress"
urlpatterns = [
    path("", progress_views.progress, name="squad"),
    path("<uuid:athlete_id>/", progress_views.progress_child, name="child"),
]
