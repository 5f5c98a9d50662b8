"""Addresses of the people pages."""

from __future__ import annotations

from django.urls import URLPattern

app_name = "people"
urlpatterns: list[URLPattern] = []
