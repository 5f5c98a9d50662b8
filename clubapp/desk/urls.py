"""Addresses of the desk pages."""

from __future__ import annotations

from django.urls import path

from clubapp.desk import views

app_name = "desk"
urlpatterns = [
    path("", views.home, name="home"),
    path("child/<uuid:athlete_id>/", views.child, name="child"),
]
