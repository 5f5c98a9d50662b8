"""Addresses of the register pages."""

from __future__ import annotations

from django.urls import path

from clubapp.register import views

app_name = "register"
urlpatterns = [
    path("term/", views.term, name="term"),
    path("ask-after/", views.ask_after, name="ask_after"),
    path("child/<uuid:athlete_id>/", views.child, name="child"),
    path("<uuid:session_id>/", views.register, name="register"),
    path("<uuid:session_id>/news/", views.news, name="news"),
    path("<uuid:session_id>/mark/", views.mark, name="mark"),
    path("<uuid:session_id>/brought/", views.brought, name="brought"),
    path("<uuid:session_id>/undo/", views.undo, name="undo"),
    path("<uuid:session_id>/rest-not-here/", views.rest_not_here, name="rest_not_here"),
    path("<uuid:session_id>/new-child/", views.new_child, name="new_child"),
    path("<uuid:session_id>/adult/", views.adult, name="adult"),
    path("<uuid:session_id>/ratio/", views.ratio, name="ratio"),
    path("<uuid:session_id>/emergency/", views.emergency, name="emergency"),
    path("<uuid:session_id>/safety/", views.safety, name="safety"),
    path("<uuid:session_id>/home/", views.going_home, name="going_home"),
    path("<uuid:session_id>/pick-up/<uuid:pick_up_id>/", views.pick_up, name="pick_up"),
    path("<uuid:session_id>/no-word/", views.no_word, name="no_word"),
    path("<uuid:session_id>/told/", views.told, name="told"),
    path("<uuid:session_id>/asked/", views.asked, name="asked"),
    path("<uuid:session_id>/log/", views.log, name="log"),
    path("<uuid:session_id>/finish/", views.finish, name="finish"),
    path("<uuid:session_id>/<uuid:athlete_id>/", views.other, name="other"),
    path("<uuid:session_id>/<uuid:athlete_id>/health/", views.health, name="health"),
]
