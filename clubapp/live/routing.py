"""Addresses of the sockets."""

from __future__ import annotations

from django.urls import URLPattern, path

from clubapp.live.consumers import bell_socket

websocket_urlpatterns: list[URLPattern] = [
    # Channels routes any application by a pattern; Django's types know views alone.
    path("ws/bell/<uuid:session_id>/", bell_socket, name="bell_socket"),  # type: ignore[arg-type]
]
