"""The bell's command log, and the passes that let a helper in for one session."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from clubapp.core.models import FieldWrite, PublicId
from clubapp.planning.models import Session


class Room(PublicId):
    """The live side of one session: made when the leader opens it."""

    session = models.OneToOneField(Session, on_delete=models.CASCADE, related_name="room")
    opened_at = models.DateTimeField(auto_now_add=True)
    ended_at = models.DateTimeField(null=True)


class Command(PublicId, FieldWrite):
    """One entry of the append-only log that `engine.clock.step` folds."""

    room = models.ForeignKey(Room, on_delete=models.CASCADE, related_name="commands")
    seq = models.PositiveIntegerField()
    seen = models.PositiveIntegerField(help_text="the sequence number the sender had seen")
    kind = models.CharField(max_length=12)
    args = models.JSONField(default=dict, blank=True)
    at_ms = models.BigIntegerField(help_text="server time, milliseconds since 1970")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        ordering = ["seq"]
        constraints = [models.UniqueConstraint(fields=["room", "seq"], name="command_seq_once")]


class Pass(PublicId):
    """Lets helpers in for one session: a link to scan and a code to say aloud. Hashes only."""

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="passes")
    token_hash = models.CharField(max_length=64, unique=True)
    code_hash = models.CharField(max_length=64, db_index=True)
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    revoked_at = models.DateTimeField(null=True)


class Visitor(PublicId):
    """Somebody at the gate with a pass: sees only the clock until the leader lets them in."""

    entry = models.ForeignKey(Pass, on_delete=models.CASCADE, related_name="visitors")
    name = models.CharField(max_length=60)
    key_hash = models.CharField(max_length=64, unique=True)
    came_at = models.DateTimeField(auto_now_add=True)
    let_in_at = models.DateTimeField(null=True)
    let_in_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    refused_at = models.DateTimeField(null=True)


class StationHold(PublicId):
    """Who says they look after which station; the newest row of a person counts."""

    room = models.ForeignKey(Room, on_delete=models.CASCADE, related_name="holds")
    station = models.ForeignKey("planning.Station", on_delete=models.CASCADE, related_name="+")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.CASCADE, related_name="+")
    visitor = models.ForeignKey(Visitor, null=True, on_delete=models.CASCADE, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
