"""The way back. What must not be turned back with the rest is carried over: erasures, and the audit log."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from types import ModuleType
from typing import Any
from uuid import UUID

from django.apps import apps
from django.conf import settings
from django.contrib.sessions.models import Session as SignIn
from django.core.management import call_command
from django.db import OperationalError, ProgrammingError, connection, connections, transaction
from django.db.migrations.loader import MigrationLoader
from django.db.models import F
from django.utils import timezone

from clubapp.core.erased import erased_since, remember
from clubapp.core.fields import SealedTextField, unseal
from clubapp.core.models import AuditLog, Outbox, SessionVersion
from clubapp.core.registry import registry
from clubapp.desk.backup import postgres, sqlite
from clubapp.desk.backup.copying import back_up
from clubapp.desk.backup.errors import BackupError
from clubapp.people import actions as people_actions
from clubapp.people.models import Athlete, User

AHEAD = 1_000_000  # versions of sessions leap so far that every phone asks again


@dataclass(frozen=True)
class Restored:
    """aside: where the state before stands, None if there was none. erased: children erased once more."""

    aside: Path | None
    erased: int


@dataclass(frozen=True)
class _Kept:
    """What the database knew and the copy does not."""

    log: list[dict[str, Any]]
    erased: set[UUID]


def restore(path: Path, *, now: datetime | None = None) -> Restored:
    """Put the copy in the database's place, bring it to this release, and erase again who was erased since.

    The state before is written beside the database first. Everybody signs in again: a sign-in or a role that was
    taken away since must not come back unseen.

    Raises:
        BackupError: the copy is damaged, of a newer release, or sealed with other keys. Nothing was changed.
    """
    tool = sqlite if connection.vendor == "sqlite" else postgres
    _refuse(tool, path)
    aside, kept = _aside(now or timezone.now()), _kept()
    connections.close_all()
    tool.put_back(path)
    call_command("migrate", interactive=False, verbosity=0)
    with transaction.atomic():
        _carry_over(kept)
        erased = _erase_again(kept.erased)
        SignIn.objects.all().delete()
        for end in registry.restored.values():
            end()
        Outbox.objects.filter(sent_at=None).delete()  # sent since, or no longer so
        SessionVersion.objects.update(version=F("version") + AHEAD)
    return Restored(aside, erased)


def _refuse(tool: ModuleType, path: Path) -> None:
    if not path.is_file():
        raise BackupError(f"{path} is not there.")
    tool.check(path)
    known = set(MigrationLoader(None, ignore_no_migrations=True).disk_migrations)
    ours = {config.label for config in apps.get_app_configs() if config.name.startswith("clubapp.")}
    made_with = tool.migrations(path)
    if not any(app in ours for app, _ in made_with):
        raise BackupError(f"{path} holds no club.")
    if newer := sorted(key for key in made_with if key[0] in ours and key not in known):
        raise BackupError(f"{path} was made by a newer Fieldbell ({'.'.join(newer[0])}): update the program.")
    for table, column in _sealed_columns():
        _refuse_other_keys(path, tool.sample(path, table, column))


def _sealed_columns() -> Iterable[tuple[str, str]]:
    for model in apps.get_models():
        for field in model._meta.concrete_fields:
            if isinstance(field, SealedTextField):
                yield model._meta.db_table, str(field.column)


def _refuse_other_keys(path: Path, sealed: str) -> None:
    try:
        if sealed:
            unseal(sealed)
    except ValueError as error:
        where = settings.DATA_DIR / "field.keys"
        raise BackupError(f"{path} is sealed with other keys: put the ones kept with it into {where}.") from error


def _aside(now: datetime) -> Path | None:
    """The state before, as a backup of its own; None on a database without tables."""
    if AuditLog._meta.db_table not in connection.introspection.table_names():
        return None
    path = settings.DATA_DIR / f"replaced-{now:%Y%m%d-%H%M%S}.backup"
    back_up(path)
    return path


def _kept() -> _Kept:
    try:
        log = [dict(row) for row in AuditLog.objects.order_by("pk").values()]
    except (OperationalError, ProgrammingError):
        log = []  # a database without tables, or of a release before the log
    return _Kept(log, erased_since(log))


def _carry_over(kept: _Kept) -> None:
    """The log goes on: what was logged since the copy is added to it, under new numbers."""
    there = set(AuditLog.objects.values_list("at", "verb", "kind", "about"))
    people = set(User.objects.values_list("pk", flat=True))
    fresh = [row for row in kept.log if (row["at"], row["verb"], row["kind"], row["about"]) not in there]
    for row in fresh:
        user = row["user_id"] if row["user_id"] in people else None
        line = AuditLog.objects.create(
            **{k: v for k, v in row.items() if k not in ("id", "at", "user_id")}, user_id=user
        )
        AuditLog._base_manager.filter(pk=line.pk).update(at=row["at"])


def _erase_again(erased: set[UUID]) -> int:
    children = list(Athlete.objects.filter(pk__in=erased))
    for child in children:
        people_actions.erase_athlete(athlete=child, by=None)
    remember(erased)
    return len(children)
