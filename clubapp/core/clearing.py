"""What is kept for a time: the pieces that apps' clean-ups share, and what core itself keeps so."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any
from uuid import UUID

from django.conf import settings
from django.db.models import Q, QuerySet
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import ngettext

from clubapp.core.models import AuditLog, Outbox
from clubapp.core.registry import Keeping

# Every usual period, here and in the apps: common practice, no published source. The page says so once.
# Who was erased, and which records became one, is asked after a backup from long ago; concerns have their own time.
NEVER = Q(verb__in=("erased", "merged")) | Q(kind="concern")

Rows = Callable[[UUID, date], QuerySet[Any]]
Goes = Callable[[UUID, date], list[str]]
Clear = Callable[[UUID, date, Any], None]


def by_rows(old: Rows, say: Callable[[int], str]) -> tuple[Goes, Clear]:
    """For rows that simply go: one sentence with their number, and the removal."""

    def goes(club_id: UUID, first: date) -> list[str]:
        found = old(club_id, first).count()
        return [say(found)] if found else []

    def clear(club_id: UUID, first: date, by: Any) -> None:
        old(club_id, first).delete()

    return goes, clear


def _log_lines(club_id: UUID, first: date) -> QuerySet[AuditLog]:
    """The manager of the log lets nothing be removed: this is the one way round it, and `tidy` logs it."""
    rows: QuerySet[AuditLog] = AuditLog._base_manager.filter(club_id=club_id, at__date__lt=first)
    return rows.exclude(NEVER)


def _say_lines(count: int) -> str:
    return ngettext("%(n)d line of the log", "%(n)d lines of the log", count) % {"n": count}


def _mails(club_id: UUID, first: date) -> QuerySet[Outbox]:
    over = Q(sent_at__isnull=False) | Q(refused=True)
    return Outbox.objects.filter(over, club_id=club_id, made_at__date__lt=first)


def _say_mails(count: int) -> str:
    return ngettext("%(n)d mail", "%(n)d mails", count) % {"n": count}


def _clear_mails(club_id: UUID, first: date, by: Any) -> None:
    rows = _mails(club_id, first)
    for name in rows.values_list("pk", flat=True):
        (settings.MAIL_FOLDER / f"{name}.eml").unlink(missing_ok=True)
    rows.delete()


LOG = Keeping("log", _lazy("The log"), "", 72, 36, 300, *by_rows(_log_lines, _say_lines))
MAILS = Keeping(
    "mails", _lazy("Mails that were sent or refused"), "", 6, 1, 36, by_rows(_mails, _say_mails)[0], _clear_mails
)
