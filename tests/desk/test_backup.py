"""A copy while others write, the way back, and what is not turned back with it."""

from __future__ import annotations

import json
import sqlite3
import threading
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from cryptography.fernet import Fernet
from django.apps import apps
from django.conf import settings as django_settings
from django.core.management import CommandError, call_command
from django.core.serializers.json import DjangoJSONEncoder
from django.db import connection
from django.utils import timezone
from pytest_django import Settings

from clubapp.core.audit import record
from clubapp.core.models import AuditLog, SessionVersion
from clubapp.desk import backup
from clubapp.desk.backup.errors import BackupError
from clubapp.live.models import KeptIncident
from clubapp.people import actions as people_actions
from clubapp.people.models import Athlete, MedicalNote, Squad
from tests.cast import Cast, make_cast
from tests.rules.addresses import written

pytestmark = pytest.mark.django_db(transaction=True)
on_sqlite = pytest.mark.skipif("connection.vendor != 'sqlite'", reason="looks into the file of SQLite")


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, settings: Settings) -> None:
    """What a restore writes beside the database belongs to one test."""
    settings.DATA_DIR = tmp_path


@pytest.fixture
def club() -> Cast:
    """The cast with a sealed note, a mark and a sign-in."""
    cast = make_cast()
    MedicalNote.objects.create(athlete=cast.ada, note="asthma", what_to_do="blue inhaler from the bag, then sit")
    cast.client(cast.hazel)
    return cast


def every_row() -> dict[str, list[str]]:
    """All that every table holds, as the database gives it: sealed columns still sealed."""
    with connection.cursor() as cursor:
        tables = {}
        for table in sorted(connection.introspection.table_names(cursor)):
            cursor.execute(f"SELECT * FROM {connection.ops.quote_name(table)}")
            tables[table] = sorted(json.dumps(row, cls=DjangoJSONEncoder, default=str) for row in cursor.fetchall())
    return tables


OWN = ("django_session", "core_auditlog", "core_sessionversion")  # what a restore changes on purpose


def test_every_row_comes_back(club: Cast, tmp_path: Path) -> None:
    with_all = every_row()
    backup.back_up(tmp_path / "club.backup")
    MedicalNote.objects.all().delete()
    Athlete.objects.filter(pk=club.ada.pk).update(given_name="Someone else")
    Squad.objects.create(club=club.club, name="Made since")
    assert every_row() != with_all
    backup.restore(tmp_path / "club.backup")
    now = every_row()
    assert set(now) == set(with_all)
    assert {table: now[table] for table in now if table not in OWN} == {
        table: with_all[table] for table in with_all if table not in OWN
    }
    assert MedicalNote.objects.get(athlete=club.ada).what_to_do == "blue inhaler from the bag, then sit"
    assert sum(len(rows) for rows in now.values()) > 100


def test_a_copy_is_for_its_owner_alone_and_never_written_over(club: Cast, tmp_path: Path) -> None:
    path = tmp_path / "club.backup"
    backup.back_up(path)
    before = path.read_bytes()
    assert path.stat().st_mode & 0o777 == 0o600
    with pytest.raises(BackupError, match="is there already"):
        backup.back_up(path)
    assert path.read_bytes() == before
    assert [one.name for one in tmp_path.iterdir() if "part" in one.name] == []


def test_keys_are_not_in_it(club: Cast, tmp_path: Path) -> None:
    backup.back_up(tmp_path / "club.backup")
    held = (tmp_path / "club.backup").read_bytes()
    for secret in (django_settings.SECRET_KEY, *django_settings.FIELD_KEYS, "blue inhaler"):
        assert secret.encode() not in held


def test_writers_go_on_while_it_is_copied(club: Cast, tmp_path: Path) -> None:
    """Each write adds two rows in one transaction: a copy holds both or neither."""
    stop, wrote, wrong = threading.Event(), threading.Event(), []

    def write() -> None:
        from django.db import transaction

        try:
            number = 0
            while not stop.is_set():
                with transaction.atomic():
                    Squad.objects.create(club=club.club, name=f"left {number}")
                    Squad.objects.create(club=club.club, name=f"right {number}")
                number += 1
                wrote.set()
        except Exception as error:
            wrong.append(error)
        finally:
            wrote.set()
            connection.close()

    writer = threading.Thread(target=write)
    writer.start()
    wrote.wait()
    backup.back_up(tmp_path / "club.backup")
    at_the_copy = Squad.objects.filter(name__startswith="left").count()
    stop.set()
    writer.join()
    assert wrong == []
    backup.restore(tmp_path / "club.backup")
    left = {name.split()[1] for name in Squad.objects.filter(name__startswith="left").values_list("name", flat=True)}
    right = {name.split()[1] for name in Squad.objects.filter(name__startswith="right").values_list("name", flat=True)}
    assert left == right
    assert 1 <= len(left) <= at_the_copy


def test_an_erased_child_is_erased_again(club: Cast, tmp_path: Path) -> None:
    backup.back_up(tmp_path / "club.backup")
    people_actions.erase_athlete(athlete=club.ada, by=club.hazel)
    done = backup.restore(tmp_path / "club.backup")
    assert done.erased == 1
    assert not Athlete.objects.filter(pk=club.ada.pk).exists()
    assert Athlete.objects.filter(pk=club.athletes[2].pk).exists()
    assert MedicalNote.objects.count() == 0


def test_also_when_the_database_of_that_day_is_lost(club: Cast, tmp_path: Path) -> None:
    """The file beside the keys remembers."""
    backup.back_up(tmp_path / "club.backup")
    people_actions.erase_athlete(athlete=club.ada, by=club.hazel)
    AuditLog._base_manager.all().delete()
    assert backup.restore(tmp_path / "club.backup").erased == 1
    assert not Athlete.objects.filter(pk=club.ada.pk).exists()


def test_also_when_only_the_log_remembers(club: Cast, tmp_path: Path) -> None:
    backup.back_up(tmp_path / "club.backup")
    people_actions.erase_athlete(athlete=club.ada, by=club.hazel)
    (tmp_path / "erased.ids").unlink()
    assert backup.restore(tmp_path / "club.backup").erased == 1


def test_a_note_that_outlives_the_record_is_kept_once_however_often_it_is_restored(club: Cast, tmp_path: Path) -> None:
    note = written(club.session, club.hazel, club.ada)
    backup.back_up(tmp_path / "club.backup")
    people_actions.erase_athlete(athlete=club.ada, by=club.hazel)
    before = KeptIncident.objects.values().get()
    for day in range(2):
        now = timezone.now() + timedelta(days=day)
        assert backup.restore(tmp_path / "club.backup", now=now).erased == 1
        assert json.loads(KeptIncident.objects.get().note) == json.loads(before["note"])
        assert KeptIncident.objects.values("pk", "until", "club").get() == {
            "pk": note.pk,
            "until": before["until"],
            "club": club.club.pk,
        }


def test_a_line_cut_short_in_the_list_hurts_nobody(club: Cast, tmp_path: Path) -> None:
    (tmp_path / "erased.ids").write_text(str(club.athletes[1].pk)[:20])
    backup.back_up(tmp_path / "club.backup")
    people_actions.erase_athlete(athlete=club.ada, by=club.hazel)
    assert str(club.ada.pk) in (tmp_path / "erased.ids").read_text().split()
    assert backup.restore(tmp_path / "club.backup").erased == 1


def test_the_audit_log_is_not_turned_back(club: Cast, tmp_path: Path) -> None:
    record(club_id=club.club.pk, user_id=club.hazel.pk, verb="before", kind="test", about=None)
    backup.back_up(tmp_path / "club.backup")
    record(club_id=club.club.pk, user_id=club.hazel.pk, verb="after", kind="test", about=club.ada.pk, field="phone")
    logged = list(AuditLog.objects.order_by("pk").values("at", "user_id", "verb", "kind", "about", "detail"))
    backup.restore(tmp_path / "club.backup")
    assert list(AuditLog.objects.order_by("pk").values("at", "user_id", "verb", "kind", "about", "detail")) == logged


def test_everybody_signs_in_again_and_every_phone_asks_again(club: Cast, tmp_path: Path) -> None:
    client = club.client(club.hazel)
    SessionVersion.objects.create(session_id=club.session.pk, version=7)
    backup.back_up(tmp_path / "club.backup")
    assert client.get("/").status_code == 200
    backup.restore(tmp_path / "club.backup")
    assert client.get("/").status_code == 302
    assert SessionVersion.objects.get(session_id=club.session.pk).version > 7


def test_the_state_before_is_kept(club: Cast, tmp_path: Path) -> None:
    backup.back_up(tmp_path / "club.backup")
    late = Squad.objects.create(club=club.club, name="Made since")
    aside = backup.restore(tmp_path / "club.backup").aside
    assert not Squad.objects.filter(pk=late.pk).exists()
    assert aside is not None
    backup.restore(aside, now=timezone.now() + timedelta(seconds=2))
    assert Squad.objects.filter(pk=late.pk).exists()


# --- what is refused, with nothing changed ---


def refused(path: Path, words: str) -> None:
    before = every_row()
    with pytest.raises(BackupError, match=words) as error:
        backup.restore(path)
    assert "\n" not in str(error.value)
    assert every_row() == before


def test_no_file(club: Cast, tmp_path: Path) -> None:
    refused(tmp_path / "nothing.backup", "is not there")


def test_another_kind_of_file(club: Cast, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("name,age\nAda,9\n" * 200)
    refused(tmp_path / "list.csv", "is no backup|said")


def test_other_keys(club: Cast, tmp_path: Path, settings: Settings) -> None:
    backup.back_up(tmp_path / "club.backup")
    MedicalNote.objects.all().delete()
    settings.FIELD_KEYS = [Fernet.generate_key().decode()]
    refused(tmp_path / "club.backup", "sealed with other keys")


@on_sqlite
def test_a_damaged_copy(club: Cast, tmp_path: Path) -> None:
    path = tmp_path / "club.backup"
    backup.back_up(path)
    held = bytearray(path.read_bytes())
    held[8192:40_000] = b"\x5a" * (40_000 - 8192)
    path.write_bytes(held)
    refused(path, "damaged|no backup")


@on_sqlite
def test_a_copy_of_a_newer_release(club: Cast, tmp_path: Path) -> None:
    path = tmp_path / "club.backup"
    backup.back_up(path)
    with closing(sqlite3.connect(path)) as link:
        link.execute("INSERT INTO django_migrations (app, name, applied) VALUES ('people', '9999_later', '2031-01-01')")
        link.commit()
    refused(path, "newer Fieldbell .people.9999_later")


@on_sqlite
def test_another_programs_database(club: Cast, tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / "other.sqlite3")) as link:
        link.execute("CREATE TABLE django_migrations (app, name)")
        link.commit()
    refused(tmp_path / "other.sqlite3", "holds no club")


# --- the commands ---


def test_the_commands_say_what_they_did(club: Cast, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    call_command("backup", str(tmp_path / "club.backup"))
    assert "field.keys" in capsys.readouterr().out
    call_command("restore", str(tmp_path / "club.backup"), yes=True)
    assert "erased once more: 0" in capsys.readouterr().out


def test_restore_asks_first(club: Cast, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    call_command("backup", str(tmp_path / "club.backup"))
    late = Squad.objects.create(club=club.club, name="Made since")
    monkeypatch.setattr("builtins.input", lambda _: "y")
    with pytest.raises(CommandError, match="Nothing was changed"):
        call_command("restore", str(tmp_path / "club.backup"))
    assert Squad.objects.filter(pk=late.pk).exists()


def test_what_is_wrong_is_one_line(club: Cast, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="is not there"):
        call_command("restore", str(tmp_path / "none"), yes=True)
    with pytest.raises(CommandError, match="cannot be written"):
        call_command("backup", str(tmp_path / "no folder" / "club.backup"))


def test_every_sealed_column_is_looked_at(club: Cast) -> None:
    """A column with a note is found by its kind, not by a list."""
    from clubapp.desk.backup.restoring import _sealed_columns

    models: list[Any] = list(apps.get_models())
    assert ("people_medicalnote", "what_to_do") in set(_sealed_columns())
    assert len(set(_sealed_columns())) <= sum(len(model._meta.concrete_fields) for model in models)
