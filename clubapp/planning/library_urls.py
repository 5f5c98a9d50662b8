"""Addresses of the activity library."""

from __future__ import annotations

from django.urls import path

from clubapp.planning.views import activities, activity_files, drawings

app_name = "library"
urlpatterns = [
    path("", activities.cards, name="cards"),
    path("new/", activities.card_new, name="card_new"),
    path("bring-in/", activity_files.bring_in, name="bring_in"),
    path("own.json", activity_files.own_file, name="own_file"),
    path("<slug:activity>/", activities.card, name="card"),
    path("<slug:activity>/change/", activities.card_change, name="card_change"),
    path("<slug:activity>/drawing/", drawings.drawing, name="drawing"),
    path("<slug:activity>/do/", activities.card_do, name="card_do"),
    path("<slug:activity>/use/", activities.card_use, name="card_use"),
    path("<slug:activity>/card.json", activity_files.card_file, name="card_file"),
]
