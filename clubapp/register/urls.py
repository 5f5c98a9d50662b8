"""Addresses of the register pages."""

from __future__ import annotations

from django.urls import URLPattern

app_name = "register"
urlpatterns: list[URLPattern] = []
