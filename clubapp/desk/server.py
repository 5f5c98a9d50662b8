"""Starts the one server process: looks before it leaps, and says in one line what is in the way."""

from __future__ import annotations

import gc
import os
import socket
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from importlib import import_module

import uvicorn
from django.apps import apps
from django.conf import settings
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db import connection
from django.db.migrations.autodetector import MigrationAutodetector
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.state import ProjectState

from clubapp.core import post
from clubapp.desk import tidying
from clubapp.desk.collect import collect_static
from clubapp.desk.frames import FrameSocket

PATIENCE_SECONDS = 3  # how long a start waits for another writer
NOWHERE = ("192.0.2.1", 9)  # RFC 5737: no packet is sent, the system only picks the interface it would use


@dataclass(frozen=True)
class Door:
    """A bound socket and what people type to reach it."""

    sock: socket.socket
    host: str

    @property
    def port(self) -> int:
        return int(self.sock.getsockname()[1])

    @property
    def everywhere(self) -> bool:
        return self.host in ("0.0.0.0", "::", "")

    @property
    def here(self) -> str:
        """The address on this machine."""
        return settings.PUBLIC_URL or self._url("127.0.0.1" if self.everywhere else self.host)

    @property
    def phones(self) -> str:
        """The address for phones on the same network; empty when nobody else can reach us."""
        if settings.PUBLIC_URL:
            return str(settings.PUBLIC_URL)
        names = [name for name in self.names if not name.startswith("127.") and name not in ("localhost", "::1")]
        return self._url(names[0]) if names else ""

    @property
    def names(self) -> list[str]:
        """The names and addresses it answers to; never a wildcard."""
        return own_addresses() if self.everywhere else [self.host]

    def _url(self, host: str) -> str:
        return f"http://{f'[{host}]' if ':' in host else host}:{self.port}/"


def own_addresses() -> list[str]:
    """This machine's addresses, the one phones would use first."""
    found: list[str] = []
    # Without any network this fails, and the machine serves itself alone.
    with closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as probe, suppress(OSError):
        probe.connect(NOWHERE)
        found.append(str(probe.getsockname()[0]))
    with suppress(OSError):
        found += [str(row[4][0]) for row in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)]
    return list(dict.fromkeys([*found, socket.gethostname().lower()]))


# --- look before the leap --------------------------------------------------------------------------------------------


def refuse_unsafe_settings() -> None:
    """Settings with which a served club would be unsafe or out of step."""
    if settings.DEBUG:
        raise CommandError("FIELDBELL_DEBUG is for development and shows what it should not: unset it to serve.")
    if "*" in settings.ALLOWED_HOSTS:
        raise CommandError("FIELDBELL_HOSTS holds *, which would let any site open our sockets: name the hosts.")
    several = int(os.environ.get("WEB_CONCURRENCY") or 1) > 1
    if several and "InMemory" in str(settings.CHANNEL_LAYERS["default"]["BACKEND"]):
        raise CommandError("WEB_CONCURRENCY above 1 needs FIELDBELL_REDIS: processes could not hear one another.")


def open_door(host: str, port: int) -> Door:
    """Bind at once, so that a taken port is known before anything else happens."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    sock = socket.socket(family, socket.SOCK_STREAM)
    sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        sock.bind((host, port))
        sock.listen(512)  # who comes while we prepare waits instead of being turned away
    except OSError as error:
        sock.close()
        raise CommandError(f"Cannot listen on {host} port {port}: {error.strerror}. Try --port {port + 1}.") from error
    return Door(sock, host)


def refuse_locked_database() -> None:
    """Another program that writes for long would make every tap wait."""
    if connection.vendor != "sqlite":
        return
    path = connection.settings_dict["NAME"]
    try:
        with closing(sqlite3.connect(path, timeout=PATIENCE_SECONDS, isolation_level=None)) as link:
            link.execute("BEGIN IMMEDIATE")
            link.execute("ROLLBACK")
    except sqlite3.Error as error:
        raise CommandError(f"The database {path} cannot be written: {error}. Is another program using it?") from error


def prepare() -> None:
    """Tables and static files, ready to serve."""
    refuse_locked_database()
    refuse_missing_migration()
    call_command("migrate", interactive=False, verbosity=0)
    collect_static()


def refuse_missing_migration() -> None:
    """Code and tables must belong together, or the first tap would fail."""
    loader = MigrationExecutor(connection).loader
    changes = MigrationAutodetector(loader.project_state(), ProjectState.from_apps(apps)).changes(graph=loader.graph)
    if changes:
        raise CommandError(f"A migration is missing for {', '.join(sorted(changes))}: run manage.py makemigrations.")
    ours = {config.label for config in apps.get_app_configs() if config.name.startswith("clubapp.")}
    unknown = sorted(key for key in loader.applied_migrations if key[0] in ours and key not in loader.disk_migrations)
    if unknown:
        raise CommandError(f"The database was made by a newer Fieldbell ({'.'.join(unknown[0])}): update the program.")


# --- serve -----------------------------------------------------------------------------------------------------------


def answer_to(door: Door) -> None:
    """Pages and sockets are answered under the addresses we listen on, and under no other."""
    settings.ALLOWED_HOSTS.extend(name for name in door.names if name not in settings.ALLOWED_HOSTS)


@contextmanager
def kept_open() -> Iterator[None]:
    """One idle connection for as long as we serve.

    Each request closes its own, and SQLite tidies its log away whenever the last one closes: without this every lonely
    tap would wait for the disk.
    """
    if connection.vendor != "sqlite":
        yield
        return
    with closing(sqlite3.connect(connection.settings_dict["NAME"])) as link:
        link.execute("SELECT 1 FROM django_migrations LIMIT 1").fetchone()  # opened by the first question
        yield


@contextmanager
def post_going_out() -> Iterator[None]:
    """Mails leave by a thread of their own: no page waits for a mail server."""
    stop = threading.Event()
    postman = threading.Thread(target=post.drain, args=[stop], name="post", daemon=True)
    postman.start()
    try:
        yield
    finally:
        stop.set()
        post.waiting.set()
        postman.join(timeout=settings.EMAIL_TIMEOUT)


@contextmanager
def tidied_monthly() -> Iterator[None]:
    """Clubs that asked for it lose their oldest records once a month, by night."""
    stop = threading.Event()
    cleaner = threading.Thread(target=tidying.watch, args=[stop], name="tidying", daemon=True)
    cleaner.start()
    try:
        yield
    finally:
        stop.set()
        cleaner.join(timeout=PATIENCE_SECONDS)


def load_for_good() -> None:
    """The program itself, left out of every later search for garbage, which takes the bell's time from all phones."""
    import_module("clubapp.asgi")
    import_module(settings.ROOT_URLCONF)
    gc.collect()
    gc.freeze()


def run(door: Door) -> None:
    """Serve until stopped."""
    load_for_good()
    behind_proxy = bool(settings.SECURE_PROXY_SSL_HEADER)
    config = uvicorn.Config(
        "clubapp.asgi:application",
        log_config=None,
        access_log=False,
        lifespan="off",
        workers=1,
        ws=FrameSocket,
        ws_per_message_deflate=False,
        ws_max_size=65536,
        ws_ping_interval=15,
        ws_ping_timeout=15,
        timeout_graceful_shutdown=10,
        proxy_headers=behind_proxy,
        server_header=False,
    )
    with kept_open(), post_going_out(), tidied_monthly():
        uvicorn.Server(config).run(sockets=[door.sock])
