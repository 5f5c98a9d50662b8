"""Addresses of the family pages."""

from __future__ import annotations

from django.urls import path

from clubapp.family import views, views_calendar, views_notices, views_own, views_push

app_name = "family"
urlpatterns = [
    path("", views.home, name="home"),
    path("calendar/", views_calendar.calendar_page, name="calendar"),
    path("calendar/<str:token>.ics", views_calendar.feed, name="feed"),
    path("notices/", views_push.notices, name="notices"),
    path("messages/", views.club_messages, name="messages"),
    path("contact/", views_own.contact, name="contact"),
    path("<uuid:athlete_id>/", views.child, name="child"),
    path("<uuid:athlete_id>/consents/", views_own.consents, name="consents"),
    path("<uuid:athlete_id>/health/", views.health, name="health"),
    path("<uuid:athlete_id>/know/<uuid:session_id>/", views_own.know, name="know"),
    path("<uuid:athlete_id>/pick-up/<uuid:session_id>/", views_notices.pick_up, name="pick_up"),
    path("<uuid:athlete_id>/tests/", views.tests, name="tests"),
    path("<uuid:athlete_id>/cannot-come/<uuid:session_id>/", views_notices.cannot_come, name="cannot_come"),
    path("<uuid:athlete_id>/late/<uuid:session_id>/", views_notices.late, name="late"),
]
