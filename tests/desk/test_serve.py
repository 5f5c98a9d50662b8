"""Starting the server: what stands in the way is said in one line, and only our own names are answered."""

from __future__ import annotations

import gc
import http.client
import socket
import sqlite3
from collections.abc import Iterator
from contextlib import closing

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder
from django.test.utils import override_settings
from pytest_django import Settings
from websockets.exceptions import InvalidStatus
from websockets.sync.client import connect

from clubapp.desk import server
from tests.browser.servers import Served


def one_line(error: pytest.ExceptionInfo[CommandError]) -> str:
    assert "\n" not in str(error.value)
    return str(error.value)


# --- what stands in the way ---


def test_a_taken_port_is_named() -> None:
    with closing(socket.create_server(("127.0.0.1", 0))) as other:
        port = other.getsockname()[1]
        with pytest.raises(CommandError) as error:
            call_command("serve", host="127.0.0.1", port=port)
    assert f"port {port}" in one_line(error)


@pytest.mark.django_db(transaction=True)
def test_a_locked_database_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(server, "PATIENCE_SECONDS", 0.1)
    with closing(sqlite3.connect(connection.settings_dict["NAME"], isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(CommandError) as error:
            server.prepare()
        other.execute("ROLLBACK")
    assert "locked" in one_line(error)


@pytest.mark.django_db
def test_a_missing_migration_is_named() -> None:
    nowhere = override_settings(MIGRATION_MODULES={"results": "tests.desk.empty_migrations"})
    with nowhere, pytest.raises(CommandError) as error:
        server.refuse_missing_migration()
    assert "missing for results" in one_line(error)


@pytest.mark.django_db
def test_a_newer_database_is_named() -> None:
    MigrationRecorder(connection).record_applied("people", "9999_from_the_future")
    with pytest.raises(CommandError) as error:
        server.refuse_missing_migration()
    assert "people.9999_from_the_future" in one_line(error)


def test_several_processes_need_a_broker(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WEB_CONCURRENCY", "2")
    with pytest.raises(CommandError) as error:
        server.refuse_unsafe_settings()
    assert "FIELDBELL_REDIS" in one_line(error)


def test_a_wildcard_host_is_refused(settings: Settings) -> None:
    settings.ALLOWED_HOSTS = ["*"]
    with pytest.raises(CommandError) as error:
        server.refuse_unsafe_settings()
    assert "FIELDBELL_HOSTS" in one_line(error)


def test_development_pages_are_not_served(settings: Settings) -> None:
    settings.DEBUG = True
    with pytest.raises(CommandError) as error:
        server.refuse_unsafe_settings()
    assert "FIELDBELL_DEBUG" in one_line(error)


# --- the door ---


def test_the_program_itself_is_never_looked_through_for_garbage() -> None:
    known = len(gc.get_objects())
    try:
        server.load_for_good()
        assert gc.get_freeze_count() > 50_000
        assert len(gc.get_objects()) < known / 10
    finally:
        gc.unfreeze()


def test_the_names_hold_no_wildcard() -> None:
    with closing(server.open_door("0.0.0.0", 0).sock) as sock:
        door = server.Door(sock, "0.0.0.0")
        assert door.names
        assert not {"*", "0.0.0.0", "::", ""} & set(door.names)
        assert door.here == f"http://127.0.0.1:{door.port}/"


def test_a_door_on_this_machine_offers_phones_nothing() -> None:
    with closing(server.open_door("127.0.0.1", 0).sock) as sock:
        assert server.Door(sock, "127.0.0.1").phones == ""


# --- the command people run ---


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Served, list[str]]]:
    with Served(tmp_path_factory.mktemp("served")) as running:
        yield running, running.start()


def fetch(running: Served, path: str, host: str = "") -> int:
    with closing(http.client.HTTPConnection("127.0.0.1", running.port, timeout=10)) as link:
        link.request("GET", path, headers={"Host": host or f"127.0.0.1:{running.port}"})
        return link.getresponse().status


def test_an_empty_database_gets_a_set_up_link(served: tuple[Served, list[str]]) -> None:
    running, lines = served
    link = next(line for line in lines if "/people/" in line)
    assert fetch(running, link.removeprefix(running.home)) == 200


def test_another_host_name_is_not_answered(served: tuple[Served, list[str]]) -> None:
    assert fetch(served[0], "/", host="evil.example") == 400


def test_another_site_opens_no_socket(served: tuple[Served, list[str]]) -> None:
    address = f"ws://127.0.0.1:{served[0].port}/ws/bell/00000000-0000-4000-8000-000000000000/"
    with pytest.raises(InvalidStatus) as refusal, connect(address, origin="http://evil.example"):  # type: ignore[arg-type]
        pass
    assert refusal.value.response.status_code == 403


def test_the_keys_are_the_owner_s_alone(served: tuple[Served, list[str]]) -> None:
    modes = {name: (served[0].data / name).stat().st_mode & 0o777 for name in ("secret.key", "field.keys")}
    assert modes == {"secret.key": 0o600, "field.keys": 0o600}
