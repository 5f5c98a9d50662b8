"""A server in the tests' own process that answers as a story wants it: late, half, elsewhere, broken."""

from __future__ import annotations

import json
import threading
import time
from contextlib import suppress
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any, Self
from urllib.parse import urlsplit

from clubapp.core import keeping, pwa
from tests.rules.house import ROOT

SESSION = "0f0f0f0f-0000-4000-8000-000000000001"
REGISTER, PLAN = f"/register/{SESSION}/", f"/plan/{SESSION}/"
EMERGENCY, FAMILY = f"/register/{SESSION}/emergency/", "/family/"
PATIENCE_S = 30
PAGE = """<!doctype html><html lang="en"><head><title>{0} · Test</title><link rel="icon" href="data:,"></head>
<body><h1>{0}</h1></body></html>"""


@dataclass
class Answer:
    """said: the page's heading. until_s: how long it may be kept, 0 for not at all. part: of its bytes, before the line
    breaks. held: nothing is said before the story says so.
    """

    said: str
    status: int = 200
    until_s: int = 3600
    kind: str = "text/html; charset=utf-8"
    headers: dict[str, str] = field(default_factory=dict)
    part: float = 1.0
    held: threading.Event | None = None

    @property
    def head(self) -> dict[str, str]:
        until = {keeping.UNTIL: str(int((time.time() + self.until_s) * 1000))} if self.until_s else {}
        return {"Content-Type": self.kind, **until, **self.headers}


class StandIn:
    """Every path has the answer the story gives it, else a page named after itself that nobody may keep."""

    def __init__(self) -> None:
        self.answers: dict[str, Answer] = {}
        self.asked: list[str] = []
        self.heard = threading.Condition()
        self.version, self.files = "one", ["/static/a.0123456789ab.css"]
        self.server = ThreadingHTTPServer(("127.0.0.1", 0), _handler(self))
        self.server.daemon_threads = True

    def __enter__(self) -> Self:
        threading.Thread(target=self.server.serve_forever, daemon=True).start()
        return self

    def __exit__(self, *_: object) -> None:
        for answer in self.answers.values():
            if answer.held:
                answer.held.set()
        self.server.shutdown()
        self.server.server_close()

    @property
    def home(self) -> str:
        return f"http://127.0.0.1:{self.server.server_port}"

    def worker(self) -> str:
        """Our own worker, with the list of a release that has hardly a file."""
        release = {"version": self.version, "files": self.files, "apart": [], "offline": "/offline/"}
        release |= {"pages": pwa.PAGES, "asked": pwa.ASKED, "family": pwa.FAMILY}
        source = "".join((ROOT / "static" / name).read_text() for name in pwa.SOURCES)
        return f"const RELEASE = {json.dumps(release)};\n{source}"

    def waits_for(self, path: str, times: int = 1) -> None:
        """Until the phone has asked for it so often."""
        with self.heard:
            assert self.heard.wait_for(lambda: self.asked.count(path) >= times, PATIENCE_S), (path, self.asked)

    def answer_to(self, path: str) -> Answer:
        with self.heard:
            self.asked.append(path)
            self.heard.notify_all()
        if path == "/sw.js":
            return Answer(self.worker(), until_s=0, kind="text/javascript")
        if path.startswith("/static/"):
            return self.answers.get(path) or Answer(path, until_s=0, kind="text/css")
        return self.answers.get(path) or Answer({"/offline/": "No network"}.get(path, path), until_s=0)


def _handler(stand: StandIn) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            answer = stand.answer_to(urlsplit(self.path).path)
            if answer.held:
                answer.held.wait(PATIENCE_S)
            body = (PAGE.format(answer.said) if "html" in answer.kind else answer.said).encode()
            self.send_response(answer.status)
            for name, value in (answer.head | {"Content-Length": str(len(body))}).items():
                self.send_header(name, value)
            self.end_headers()
            with suppress(OSError):  # the phone may have given up
                self.wfile.write(body[: int(len(body) * answer.part)])
            self.close_connection = answer.part < 1

        def log_message(self, *_: Any) -> None:
            """Quiet."""

    return Handler
