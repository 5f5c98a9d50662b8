"""Addresses of the live pages."""

from __future__ import annotations

from django.urls import URLPattern

app_name = "live"
urlpatterns: list[URLPattern] = []
