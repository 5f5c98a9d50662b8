"""Timed tests and their results: a ledger that knows no session."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from clubapp.core.models import FieldWrite, PublicId
from clubapp.people.models import Athlete, Club

SPEED = "speed"  # the trial that the roster column speed_s fills


class Trial(PublicId):
    """A timed test of the club's."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="trials")
    code = models.SlugField(max_length=40)
    name = models.CharField(_("name"), max_length=60)
    distance_m = models.DecimalField(_("distance, metres"), max_digits=7, decimal_places=3, null=True, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["club", "code"], name="trial_code_once_a_club")]

    def __str__(self) -> str:
        return self.name


class Result(PublicId, FieldWrite):
    """One value of one trial, in whole milliseconds; a correction is a new row that replaces an older one."""

    trial = models.ForeignKey(Trial, on_delete=models.CASCADE, related_name="results")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="results")
    on = models.DateField(_("date"))
    value_ms = models.PositiveIntegerField(_("milliseconds"))
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    replaces = models.OneToOneField("self", null=True, on_delete=models.CASCADE, related_name="replaced_by")

    class Meta:
        indexes = [models.Index(fields=["athlete", "trial", "-on"])]
        constraints = [models.CheckConstraint(condition=models.Q(value_ms__gt=0), name="result_above_zero")]
