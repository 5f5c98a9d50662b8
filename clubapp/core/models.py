"""Tables every app leans on: the session counter, the audit log, and the shape of a write made on the field."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models


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


class AuditLog(models.Model):
    """Who read or changed what about a person. Ids and verbs only, never names; appended, never edited."""

    at = models.DateTimeField(auto_now_add=True, db_index=True)
    club_id = models.UUIDField(null=True, db_index=True)
    user = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    verb = models.CharField(max_length=40)
    kind = models.CharField(max_length=40)
    about = models.UUIDField(null=True, db_index=True)
    detail = models.JSONField(default=dict, blank=True)
