"""The frozen answer to "who goes where when"."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from clubapp.core.models import PublicId
from clubapp.planning.models import Session


class Plan(PublicId):
    """Groups, rotation and timetable as they were computed or moved by hand. Never changed: a change is a new row.

    `wishes` holds what the coach asked for (rounds, seconds, balance, rules); `answer` the groups (athlete ids), rounds
    (station ids) and timetable; `proof` score, bound, statuses and spreads. Ids only, never names. The newest row of a
    session is the current plan.
    """

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="plans")
    version = models.PositiveIntegerField()
    wishes = models.JSONField(default=dict)
    answer = models.JSONField(default=dict)
    proof = models.JSONField(default=dict)
    locked = models.JSONField(default=list, blank=True)
    seed = models.PositiveIntegerField(default=0)
    engine = models.CharField(max_length=20)
    why = models.CharField(max_length=20, help_text="built, moved, placed, undone, repaired")
    before = models.ForeignKey("self", null=True, on_delete=models.SET_NULL, related_name="+")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-version"]
        constraints = [models.UniqueConstraint(fields=["session", "version"], name="plan_version_once")]
