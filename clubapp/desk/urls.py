"""Addresses of the desk pages."""

from __future__ import annotations

from django.urls import path

from clubapp.desk import views
from clubapp.desk.paper import views as paper

app_name = "desk"
urlpatterns = [
    path("", views.home, name="home"),
    path("child/<uuid:athlete_id>/", views.child, name="child"),
    path("paper/<uuid:session_id>/", paper.paper, name="paper"),
    path("paper/<uuid:session_id>/session/", paper.session, name="paper_session"),
    path("paper/<uuid:session_id>/stations/", paper.stations, name="paper_stations"),
    path("paper/<uuid:session_id>/register/", paper.register, name="paper_register"),
    path("paper/<uuid:session_id>/emergency/", paper.emergency_sheet, name="paper_emergency"),
]
