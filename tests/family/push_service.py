"""A push service beside the tests, and a phone that reads what it is brought."""

from __future__ import annotations

import json
import threading
from base64 import urlsafe_b64decode, urlsafe_b64encode
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any, Self

import http_ece
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

AUTH = b"sixteen bytes ok"


def text_of(raw: bytes) -> str:
    return urlsafe_b64encode(raw).rstrip(b"=").decode()


def claims_of(header: str) -> dict[str, Any]:
    """What the token of a `vapid t=…, k=…` header claims."""
    middle = header.split("t=")[1].split(",")[0].split(".")[1]
    return dict(json.loads(urlsafe_b64decode(middle + "=" * (-len(middle) % 4))))


@dataclass
class Brought:
    path: str
    headers: dict[str, str]
    notice: dict[str, Any]


@dataclass
class PushService:
    """status: how it answers; brought: what came, as the phone reads it."""

    status: int = 201
    brought: list[Brought] = field(default_factory=list)
    key: ec.EllipticCurvePrivateKey = field(default_factory=lambda: ec.generate_private_key(ec.SECP256R1()))

    def __enter__(self) -> Self:
        self.server = ThreadingHTTPServer(("127.0.0.1", 0), _handler(self))
        threading.Thread(target=self.server.serve_forever, daemon=True).start()
        return self

    def __exit__(self, *_: object) -> None:
        self.server.shutdown()
        self.server.server_close()

    @property
    def home(self) -> str:
        return f"http://127.0.0.1:{self.server.server_port}"

    def phone(self, name: str = "one", **topics: str) -> dict[str, str]:
        """What a browser that asked this service sends to the club."""
        point = self.key.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
        return {"endpoint": f"{self.home}/{name}", "p256dh": text_of(point), "auth": text_of(AUTH), **topics}


def _handler(service: PushService) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            plain = http_ece.decrypt(body, private_key=service.key, auth_secret=AUTH, version="aes128gcm")
            headers = {name.lower(): value for name, value in self.headers.items()}
            service.brought.append(Brought(self.path, headers, json.loads(plain)))
            self.send_response(service.status)
            if service.status == 307:
                self.send_header("Location", "/elsewhere")
            self.send_header("Content-Length", "0")
            self.end_headers()

        def log_message(self, *_: object) -> None:
            """Nothing on the tests' output."""

    return Handler
