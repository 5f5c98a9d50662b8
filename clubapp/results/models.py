"""Timed tests and their results: a ledger that knows no session."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from clubapp.core.models import FieldWrite, PublicId
from clubapp.people.models import Athlete, Club

SPEED = "speed"  # the trial that the roster column speed_s fills


class Trial(PublicId):
    """A timed test of the club's. hand_rounding: a time taken by hand counts up to the next tenth."""

    class Unit(models.TextChoices):
        SECONDS = "s", _("seconds")
        METRES = "m", _("metres")

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="trials")
    code = models.SlugField(max_length=40)
    name = models.CharField(_("name"), max_length=60)
    distance_m = models.DecimalField(_("distance, metres"), max_digits=7, decimal_places=3, null=True, blank=True)
    unit = models.CharField(_("unit"), max_length=1, choices=Unit.choices, default=Unit.SECONDS)
    hand_rounding = models.BooleanField(_("times taken by hand count in tenths"), default=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["club", "code"], name="trial_code_once_a_club")]

    def __str__(self) -> str:
        return self.name


class Result(PublicId, FieldWrite):
    """One value of one trial, in whole thousandths of its unit; a correction is a new row that replaces an older one.

    Of a run that several adults timed there is a row a watch, as it was read; queries make one time of them.
    attempt: of this child on this trial and day. state: slipped ones are kept and never count, void ones were a
    mistake. ran_at: when the child finished, as far as that is known. doubtful: the watch itself was not sure.
    helper: the pass of somebody without an account.
    """

    class Timing(models.TextChoices):
        UNKNOWN = "", _("not known")
        HAND = "hand", _("by hand")
        ELECTRONIC = "electronic", _("electronic")

    class State(models.TextChoices):
        COUNTS = "", _("counts")
        SLIPPED = "slipped", _("slipped")
        VOID = "void", _("taken back")

    trial = models.ForeignKey(Trial, on_delete=models.CASCADE, related_name="results")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="results")
    on = models.DateField(_("date"))
    value_ms = models.PositiveIntegerField(_("milliseconds"))
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    helper = models.UUIDField(null=True)
    replaces = models.OneToOneField("self", null=True, on_delete=models.CASCADE, related_name="replaced_by")
    timing = models.CharField(max_length=10, choices=Timing.choices, default=Timing.UNKNOWN, blank=True)
    attempt = models.PositiveSmallIntegerField(default=1)
    state = models.CharField(max_length=7, choices=State.choices, default=State.COUNTS, blank=True)
    ran_at = models.DateTimeField(null=True)
    doubtful = models.BooleanField(default=False)

    class Meta:
        indexes = [models.Index(fields=["athlete", "trial", "-on"])]
        constraints = [models.CheckConstraint(condition=models.Q(value_ms__gt=0), name="result_above_zero")]
