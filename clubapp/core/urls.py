"""Addresses of the core pages."""

from __future__ import annotations

from django.urls import path

from clubapp.core import views

app_name = "core"
urlpatterns = [
    path("offline/", views.offline, name="offline"),
    path("phone/", views.phone, name="phone"),
    path("sw.js", views.worker, name="worker"),
    path("manifest.webmanifest", views.manifest, name="manifest"),
    path("who/", views.who, name="who"),
]
