"""The frozen answer to "who goes where when"."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

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
    why = models.CharField(max_length=20, help_text="built, moved, placed, undone, repaired, longer")
    before = models.ForeignKey("self", null=True, on_delete=models.SET_NULL, related_name="+")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-version"]
        constraints = [models.UniqueConstraint(fields=["session", "version"], name="plan_version_once")]


class Think(PublicId):
    """A long search for fairer groups, done by a process of its own; this row is all that the two say to each other.

    The search writes `heard_at` every second, `score` and `bound` as it gets on, and how it came out; the page writes
    `enough`. `base` is the plan it set out from: if that is no longer the current one, what was found is left aside.
    `result` is the plan that was current when it ended.
    """

    class Outcome(models.TextChoices):
        STORED = "stored", _("new groups")
        NO_BETTER = "no_better", _("nothing fairer")
        LEFT = "left", _("left aside, the plan was changed")
        FAILED = "failed", _("stopped by a mistake")
        INTERRUPTED = "interrupted", _("interrupted")

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="thinks")
    base = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="+")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    asked_at = models.DateTimeField(auto_now_add=True)
    heard_at = models.DateTimeField(null=True)
    score = models.FloatField(null=True)
    bound = models.FloatField(null=True)
    enough = models.BooleanField(default=False)
    result = models.ForeignKey(Plan, null=True, on_delete=models.SET_NULL, related_name="+")
    outcome = models.CharField(max_length=12, choices=Outcome, blank=True, help_text="empty while it runs or waits")

    class Meta:
        ordering = ["-asked_at"]
        constraints = [
            models.UniqueConstraint(fields=["session"], condition=models.Q(outcome=""), name="one_think_a_session")
        ]
