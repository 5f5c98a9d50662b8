"""Addresses of the live pages."""

from __future__ import annotations

from django.urls import path

from clubapp.live import views

app_name = "live"
urlpatterns = [
    path("gate/<str:token>/", views.gate, name="gate"),
    path("code/", views.code, name="code"),
    path("waiting/", views.waiting, name="waiting"),
    path("<uuid:session_id>/", views.bell, name="bell"),
    path("<uuid:session_id>/open/", views.open_room, name="open"),
    path("<uuid:session_id>/command/", views.command, name="command"),
    path("<uuid:session_id>/state/", views.state, name="state"),
    path("<uuid:session_id>/station/<uuid:station_id>/", views.station, name="station"),
    path("<uuid:session_id>/station/<uuid:station_id>/stopwatch/", views.stopwatch_at, name="stopwatch_at"),
    path("<uuid:session_id>/stopwatch/", views.stopwatch_all, name="stopwatch_all"),
    path("<uuid:session_id>/station/<uuid:station_id>/caller/", views.caller_at, name="caller_at"),
    path("<uuid:session_id>/caller/", views.caller_all, name="caller_all"),
    path("<uuid:session_id>/game/<uuid:game_id>/", views.game, name="game"),
    path("<uuid:session_id>/result/", views.result, name="result"),
    path("<uuid:session_id>/times/", views.times, name="times"),
    path("<uuid:session_id>/enter/", views.entry_choose, name="entry_choose"),
    path("<uuid:session_id>/enter/<slug:code>/", views.entry_list, name="entry"),
    path("<uuid:session_id>/enter/<slug:code>/value/", views.value, name="value"),
    path("<uuid:session_id>/enter/<slug:code>/<uuid:result_id>/", views.entry_fix, name="entry_fix"),
    path("<uuid:session_id>/hold/", views.hold, name="hold"),
    path("<uuid:session_id>/health/<uuid:athlete_id>/", views.health, name="health"),
    path("<uuid:session_id>/pass/", views.passes_page, name="passes"),
    path("<uuid:session_id>/watch/", views.watch, name="watch"),
    path("<uuid:session_id>/rings/", views.rings, name="rings"),
    path("<uuid:session_id>/count/<uuid:station_id>/", views.count, name="count"),
    path("<uuid:session_id>/help/<uuid:station_id>/", views.help_here, name="help"),
    path("<uuid:session_id>/where/", views.where, name="where"),
    path("<uuid:session_id>/heard/", views.heard, name="heard"),
    path("<uuid:session_id>/incident/", views.incident_new, name="incident_new"),
    path("<uuid:session_id>/not-before/<uuid:athlete_id>/", views.not_before, name="not_before"),
    path("incidents/", views.incidents, name="incidents"),
    path("incidents/kept/<uuid:kept_id>/", views.kept_incident, name="kept_incident"),
    path("incidents/<uuid:incident_id>/", views.incident, name="incident"),
    path("<uuid:session_id>/phones/", views.phones, name="phones"),
    path("<uuid:session_id>/lead/", views.lead, name="lead"),
    path("<uuid:session_id>/changed/", views.repair, name="repair"),
    path("<uuid:session_id>/changed/take/", views.take_repair, name="replan"),
    path("<uuid:session_id>/changed/undo/", views.undo_repair, name="replan_undo"),
    path("<uuid:session_id>/let-in/", views.let_in, name="let_in"),
    path("<uuid:session_id>/refuse/", views.refuse, name="refuse"),
]
