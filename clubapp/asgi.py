"""Where http and websocket meet."""

from __future__ import annotations

import os

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")

from django.core.asgi import get_asgi_application

http = get_asgi_application()

from channels.routing import ProtocolTypeRouter, URLRouter

from clubapp.core.origins import SameOrigin
from clubapp.core.turnstile import Turnstile
from clubapp.live.routing import websocket_urlpatterns

# Who calls is asked by the socket itself, anew at each command: no sign-in is kept here for as long as a socket lives.
application = ProtocolTypeRouter({"http": Turnstile(http), "websocket": SameOrigin(URLRouter(websocket_urlpatterns))})
