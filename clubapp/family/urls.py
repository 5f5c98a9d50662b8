"""Addresses of the family pages."""

from __future__ import annotations

from django.urls import URLPattern

app_name = "family"
urlpatterns: list[URLPattern] = []
