"""Tables every app leans on: the session counter, the audit log, and the shape of a write made on the field."""

from __future__ import annotations

import uuid
from typing import Any

from django.conf import settings
from django.db import models
from django.utils import timezone

from clubapp.core.fields import SealedTextField


class PublicId(models.Model):
    """A row known to the outside by an id nobody can guess."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)

    class Meta:
        abstract = True


class FieldWrite(models.Model):
    """A write made on a phone, perhaps without a network: taken once however often it is sent."""

    op_id = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    device = models.CharField(max_length=64, blank=True)
    tapped_at = models.DateTimeField()
    base_version = models.PositiveIntegerField(default=0)
    received_at = models.DateTimeField(auto_now_add=True)
    answer = models.JSONField(default=dict, blank=True)

    class Meta:
        abstract = True


class SessionVersion(models.Model):
    """One counter a session, raised in the transaction of every write that a phone shows."""

    session_id = models.UUIDField(primary_key=True)
    version = models.PositiveIntegerField(default=0)


class Outbox(PublicId):
    """A mail that waits to be sent, or was. To whom and what is sealed, and emptied once a mail server has it.

    person, about: a guardian or adult, and a child, by id alone; refused: it will never be sent, `trouble` says why.
    """

    club_id = models.UUIDField(null=True, db_index=True)
    person = models.UUIDField(null=True, db_index=True)
    about = models.UUIDField(null=True, db_index=True)
    kind = models.CharField(max_length=20)
    to = SealedTextField(blank=True)
    subject = models.CharField(max_length=120)
    text = SealedTextField(blank=True)
    made_at = models.DateTimeField(auto_now_add=True)
    due_at = models.DateTimeField(default=timezone.now)
    until = models.DateTimeField(null=True)
    sent_at = models.DateTimeField(null=True)
    refused = models.BooleanField(default=False)
    tries = models.PositiveSmallIntegerField(default=0)
    trouble = models.CharField(max_length=60, blank=True)

    class Meta:
        indexes = [models.Index(fields=["sent_at", "refused", "due_at"])]


class OnlyAdded(models.QuerySet["AuditLog"]):
    def update(self, **_: Any) -> int:
        raise TypeError("the log is never changed")

    def delete(self) -> tuple[int, dict[str, int]]:
        raise TypeError("nothing is taken out of the log")


class AuditLog(models.Model):
    """Who read or changed what about a person. Ids and verbs only, never names; appended, never edited."""

    at = models.DateTimeField(auto_now_add=True, db_index=True)
    club_id = models.UUIDField(null=True, db_index=True)
    user = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    verb = models.CharField(max_length=40)
    kind = models.CharField(max_length=40)
    about = models.UUIDField(null=True, db_index=True)
    detail = models.JSONField(default=dict, blank=True)

    objects = OnlyAdded.as_manager()

    def save(self, *args: Any, **named: Any) -> None:
        if not self._state.adding:
            raise TypeError("the log is never changed")
        super().save(*args, **named)

    def delete(self, *_: Any, **__: Any) -> tuple[int, dict[str, int]]:
        raise TypeError("nothing is taken out of the log")
