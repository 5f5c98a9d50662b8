"""Addresses of the games' pages."""

from __future__ import annotations

from django.urls import path

from clubapp.games import term_views, views

app_name = "games"
urlpatterns = [
    path("term/<uuid:squad_id>/", term_views.term, name="term"),
    path("term/<uuid:squad_id>/begin/", term_views.begin, name="term_begin"),
    path("term/<uuid:squad_id>/fit/", term_views.fit, name="term_fit"),
    path("term/<uuid:squad_id>/off/", term_views.off, name="term_off"),
    path("term/<uuid:squad_id>/order/", term_views.order, name="term_order"),
    path("<uuid:session_id>/", views.games, name="games"),
    path("<uuid:session_id>/new/", views.new, name="new"),
    path("<uuid:session_id>/make/", views.make, name="make"),
    path("<uuid:session_id>/<uuid:game_id>/", views.game, name="game"),
    path("<uuid:session_id>/<uuid:game_id>/enter/", views.enter, name="enter"),
    path("<uuid:session_id>/<uuid:game_id>/enter/<int:part>/", views.enter, name="enter_part"),
    path("<uuid:session_id>/<uuid:game_id>/end/", views.end, name="end"),
    path("<uuid:session_id>/<uuid:game_id>/next/", views.draw_next, name="next"),
    path("<uuid:session_id>/<uuid:game_id>/fit/", views.fit, name="fit"),
    path("<uuid:session_id>/<uuid:game_id>/out/", views.out, name="out"),
    path("<uuid:session_id>/<uuid:game_id>/drop/", views.drop, name="drop"),
    path("<uuid:session_id>/<uuid:game_id>/order/", views.standing, name="standing"),
]
