"""Mail leaves by an outbox: a row written with the change it tells of, sent afterwards by the server or by `deliver`.

What a higher app brings in another way than by mail waits in the same rows, of a kind for which it named a courier.
A mail server that is away delays nobody and loses nothing. What a row says, and to whom, is sealed, and gone once it
was sent: a link in it must not lie about in the database or its copies.
"""

from __future__ import annotations

import logging
import smtplib
import threading
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.conf import settings
from django.core.mail import EmailMessage, get_connection
from django.db import connection, transaction
from django.utils import timezone

from clubapp.core.models import Outbox
from clubapp.core.registry import registry

log = logging.getLogger(__name__)

LEASE = timedelta(minutes=2)  # so long nobody else takes a mail that one process is sending
LONGEST_WAIT = timedelta(hours=1)
AT_ONCE = 20
LOOKS_EVERY_S = 30.0  # also without a word, for mails whose next try is due
waiting = threading.Event()


class RefusedError(Exception):
    """It will never be taken; the message, which names nobody, stands in the row."""


@dataclass(frozen=True)
class Letter:
    """A mail to be written. person: whose it is, about: of which child, both ids; until: from when it is of no use."""

    to: str
    subject: str
    text: str
    kind: str
    club_id: UUID | None = None
    person: UUID | None = None
    about: UUID | None = None
    until: datetime | None = None


def send(letter: Letter) -> Outbox:
    """Write a mail into the outbox, in the transaction of what it tells of."""
    fields = vars(letter)
    row = Outbox.objects.create(**fields)
    transaction.on_commit(waiting.set)
    return row


def withdraw(*, person: UUID | None = None, about: UUID | None = None) -> None:
    """Nothing of what waits goes to this person, or about this child, any more; copies in the folder go as well."""
    rows = Outbox.objects.all()
    rows = rows.filter(person=person) if person else rows
    rows = rows.filter(about=about) if about else rows
    assert person or about
    for name in rows.values_list("pk", flat=True):
        (settings.MAIL_FOLDER / f"{name}.eml").unlink(missing_ok=True)
    rows.delete()


def readdress(*, about: UUID, to: UUID) -> None:
    """What was written about a child that two records spoke of is about the one that stays."""
    Outbox.objects.filter(about=about).update(about=to)


def deliver(now: datetime | None = None) -> int:
    """Try what is due, and say how many went out. Must not run inside a transaction: a mail server may be slow."""
    now = now or timezone.now()
    _drop_overdue(now)
    due = Outbox.objects.filter(sent_at=None, refused=False, due_at__lte=now).order_by("due_at", "pk")
    return sum(_try(row, now) for row in due[:AT_ONCE] if _taken(row, now))


def _drop_overdue(now: datetime) -> None:
    """A mail that came too late to be of use is not sent; its row says so."""
    late = Outbox.objects.filter(sent_at=None, refused=False, until__lte=now)
    late.update(refused=True, trouble="too late", to="", text="")


def _taken(row: Outbox, now: datetime) -> bool:
    """Two processes may look at once: the one that moves the date sends."""
    mine = Outbox.objects.filter(pk=row.pk, sent_at=None, due_at=row.due_at)
    return bool(mine.update(due_at=now + LEASE))


def _try(row: Outbox, now: datetime) -> bool:
    courier = registry.couriers.get(row.kind)
    try:
        if courier:
            courier(row)
        else:
            _message(row).send()
    except smtplib.SMTPRecipientsRefused as error:
        codes = [code for code, _ in error.recipients.values()]
        if all(code >= 500 for code in codes):
            return _refused(row, "address refused")
        return _again(row, now, error)
    except RefusedError as error:
        return _refused(row, str(error))
    except Exception as error:
        # Whatever a mail server or the network does, the mail stays; its text and address are never logged.
        return _again(row, now, error)
    kept = {} if settings.MAIL_IN_FOLDER and not courier else {"to": "", "text": ""}
    Outbox.objects.filter(pk=row.pk).update(sent_at=timezone.now(), trouble="", **kept)
    return True


def _message(row: Outbox) -> EmailMessage:
    # The same id at each try: a mail server that took it and was not heard knows the second one.
    domain = settings.DEFAULT_FROM_EMAIL.rsplit("@", 1)[-1].strip("> ")
    headers = {"Message-ID": f"<{row.pk}@{domain}>", "Auto-Submitted": "auto-generated"}
    return EmailMessage(row.subject, row.text, to=[row.to], headers=headers, connection=get_connection())


def _refused(row: Outbox, why: str) -> bool:
    Outbox.objects.filter(pk=row.pk).update(refused=True, trouble=why[:60], text="")
    return False


def _again(row: Outbox, now: datetime, error: Exception) -> bool:
    tries = row.tries + 1
    wait = min(timedelta(minutes=2 ** min(tries - 1, 10)), LONGEST_WAIT)
    Outbox.objects.filter(pk=row.pk).update(tries=tries, due_at=now + wait, trouble=type(error).__name__)
    log.warning("a mail waits %s: %s", wait, type(error).__name__)
    return False


def shown(club_id: UUID, most: int = 50) -> list[Outbox]:
    """Mails; what goes another way holds nothing to read."""
    rows = Outbox.objects.filter(club_id=club_id).exclude(kind__in=registry.couriers)
    return list(rows.order_by("-made_at")[:most])


def drain(stop: threading.Event) -> None:
    """Deliver until told to stop: what the server does beside serving."""
    while not stop.is_set():
        waiting.clear()
        try:
            while deliver():
                pass
        except Exception:
            log.exception("the outbox could not be looked at")
        finally:
            connection.close()
        waiting.wait(LOOKS_EVERY_S)
