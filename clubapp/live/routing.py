"""Addresses of the sockets."""

from __future__ import annotations

from django.urls import URLPattern, path

from clubapp.live.consumers import BellConsumer

websocket_urlpatterns: list[URLPattern] = [
    path("ws/bell/<uuid:session_id>/", BellConsumer.as_asgi(), name="bell_socket"),
]
