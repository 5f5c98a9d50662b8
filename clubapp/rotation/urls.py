"""Addresses of the rotation pages."""

from __future__ import annotations

from django.urls import path

from clubapp.rotation import repair_views, views

app_name = "rotation"
urlpatterns = [
    path("<uuid:session_id>/", views.plan, name="plan"),
    path("<uuid:session_id>/make/", views.build, name="build"),
    path("<uuid:session_id>/move/", views.move, name="move"),
    path("<uuid:session_id>/place/", views.place, name="place"),
    path("<uuid:session_id>/lock/", views.lock, name="lock"),
    path("<uuid:session_id>/undo/", views.undo, name="undo"),
    path("<uuid:session_id>/changed/", repair_views.repair, name="repair"),
    path("<uuid:session_id>/changed/take/", repair_views.take, name="take"),
    path("<uuid:session_id>/printed/", views.printed, name="printed"),
]
