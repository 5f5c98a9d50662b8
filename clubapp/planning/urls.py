"""Addresses of the planning pages."""

from __future__ import annotations

from django.urls import path

from clubapp.planning import views
from clubapp.planning.views import field, moving

app_name = "planning"
urlpatterns = [
    path("", views.sessions, name="sessions"),
    path("new/", views.session_new, name="session_new"),
    path("messages/", views.messages, name="messages"),
    path("<uuid:session_id>/", views.session, name="session"),
    path("<uuid:session_id>/lines/", views.review, name="review"),
    path("<uuid:session_id>/blocks/", views.blocks, name="blocks"),
    path("<uuid:session_id>/field/", field.field, name="field"),
    path("<uuid:session_id>/field/place/", field.field_place, name="field_place"),
    path("<uuid:session_id>/field/move/", field.field_move, name="field_move"),
    path("term/", views.term, name="term"),
    path("<uuid:session_id>/series/", views.series, name="series"),
    path("<uuid:session_id>/templates/", views.templates, name="templates"),
    path("<uuid:session_id>/suggest/", views.menu, name="menu"),
    path("<uuid:session_id>/suggest/take/", views.menu_take, name="menu_take"),
    path("<uuid:session_id>/move/", moving.move, name="move"),
    path("<uuid:session_id>/copy/", views.session_copy, name="session_copy"),
    path("<uuid:session_id>/call-off/", views.call_off, name="call_off"),
    path("<uuid:session_id>/remove/", views.session_remove, name="session_remove"),
    path("<uuid:session_id>/stations/", views.station_new, name="station_new"),
    path("stations/<uuid:station_id>/", views.station, name="station"),
    path("stations/<uuid:station_id>/move/", views.station_move, name="station_move"),
    path("stations/<uuid:station_id>/remove/", views.station_remove, name="station_remove"),
]
