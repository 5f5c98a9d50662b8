"""Addresses of the tests."""

from __future__ import annotations

from django.urls import path

from clubapp.results import views

app_name = "results"
urlpatterns = [
    path("", views.tests, name="tests"),
    path("new/", views.test_new, name="test_new"),
    path("<slug:code>/", views.test, name="test"),
    path("<slug:code>/change/", views.test_change, name="test_change"),
    path("<slug:code>/put-away/", views.test_archive, name="test_archive"),
]
