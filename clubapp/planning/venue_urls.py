"""Addresses of the venues and the kit."""

from __future__ import annotations

from django.urls import path

from clubapp.planning.views import venues

app_name = "venues"
urlpatterns = [
    path("", venues.venues, name="venues"),
    path("new/", venues.venue_new, name="venue_new"),
    path("<uuid:venue_id>/", venues.venue, name="venue"),
    path("<uuid:venue_id>/remove/", venues.venue_remove, name="venue_remove"),
]
