"""Where http and websocket meet."""

from __future__ import annotations

import os

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")

from django.core.asgi import get_asgi_application

http = get_asgi_application()

from channels.auth import AuthMiddlewareStack
from channels.routing import ProtocolTypeRouter, URLRouter

from clubapp.core.origins import SameOrigin
from clubapp.live.routing import websocket_urlpatterns

application = ProtocolTypeRouter(
    {"http": http, "websocket": SameOrigin(AuthMiddlewareStack(URLRouter(websocket_urlpatterns)))}
)
