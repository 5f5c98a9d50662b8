"""Addresses of the rotation pages."""

from __future__ import annotations

from django.urls import URLPattern

app_name = "rotation"
urlpatterns: list[URLPattern] = []
