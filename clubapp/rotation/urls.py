"""Addresses of the rotation pages."""

from __future__ import annotations

from django.urls import path

from clubapp.rotation import repair_views, think_views, views

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
    path("<uuid:session_id>/longer/", think_views.look_longer, name="look_longer"),
    path("<uuid:session_id>/longer/enough/", think_views.end_with_best, name="enough"),
    path("<uuid:session_id>/longer/progress/", think_views.progress, name="progress"),
    path("<uuid:session_id>/costs/", think_views.costs, name="costs"),
]
