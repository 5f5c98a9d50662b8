"""Timed tests and their results: a ledger that knows no session."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from clubapp.core.models import FieldWrite, PublicId
from clubapp.people.models import Athlete, Club

SPEED = "speed"  # the trial that the roster column speed_s fills
# International yard and pound agreement, 1959.
METRES_IN = {"m": Decimal(1), "yd": Decimal("0.9144"), "ft": Decimal("0.3048")}


class Trial(PublicId):
    """A test of the club's, timed or measured. What a standard one looks like and how it is run stands in `library`.

    Values are whole milliseconds or whole millimetres, whatever unit they are shown in. hand_rounding: a time taken by
    hand counts up to the next tenth. attempts: of which the best counts. least, most: outside of them somebody is
    asked, nobody refused. archived_at: offered no more; its results stay.
    """

    class Unit(models.TextChoices):
        SECONDS = "s", _("seconds")
        METRES = "m", _("metres")
        CENTIMETRES = "cm", _("centimetres")

    class Length(models.TextChoices):
        METRES = "m", _("metres")
        YARDS = "yd", _("yards")
        FEET = "ft", _("feet")

    class Better(models.TextChoices):
        LESS = "less", _("a smaller value")
        MORE = "more", _("a larger value")

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="trials")
    code = models.SlugField(max_length=40)
    name = models.CharField(_("name"), max_length=60)
    distance = models.DecimalField(_("distance"), max_digits=7, decimal_places=3, null=True, blank=True)
    distance_unit = models.CharField(_("distance in"), max_length=2, choices=Length.choices, default=Length.METRES)
    unit = models.CharField(_("unit"), max_length=2, choices=Unit.choices, default=Unit.SECONDS)
    better = models.CharField(_("better is"), max_length=4, choices=Better.choices, default=Better.LESS)
    hand_rounding = models.BooleanField(_("times taken by hand count in tenths"), default=True)
    attempts = models.PositiveSmallIntegerField(_("attempts"), default=2)
    least = models.PositiveIntegerField(null=True, blank=True)
    most = models.PositiveIntegerField(null=True, blank=True)
    how = models.TextField(_("how it is run"), blank=True)
    archived_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["club", "code"], name="trial_code_once_a_club")]

    def __str__(self) -> str:
        return self.name

    @property
    def distance_m(self) -> Decimal | None:
        """Exactly: a yard is 0.9144 m and a foot 0.3048 m by definition."""
        if self.distance is None:
            return None
        return Decimal(self.distance) * METRES_IN[self.distance_unit]

    @property
    def is_timed(self) -> bool:
        return self.unit == self.Unit.SECONDS

    @property
    def less_is_better(self) -> bool:
        return self.better == self.Better.LESS


class Result(PublicId, FieldWrite):
    """One value of one trial, in whole milliseconds or millimetres; a correction is a new row that replaces one.

    Of a run that several adults timed there is a row a watch, as it was read; queries make one time of them.
    attempt: of this child on this trial and day. state: slipped ones are kept and never count, void ones were a
    mistake. ran_at: when the child finished, as far as that is known. doubtful: the watch itself was not sure.
    helper: the pass of somebody without an account. timed_by: who held the watch, if not whoever wrote it down.
    asked: the value looked impossible, somebody was asked and kept it as it is.
    """

    class Timing(models.TextChoices):
        UNKNOWN = "", _("not known")
        HAND = "hand", _("by hand")
        ELECTRONIC = "electronic", _("electronic")

    class State(models.TextChoices):
        COUNTS = "", _("counts")
        SLIPPED = "slipped", _("slipped")
        VOID = "void", _("taken back")

    class Surface(models.TextChoices):
        UNKNOWN = "", _("not written down")
        GRASS = "grass", _("grass")
        TURF = "turf", _("artificial turf")
        TRACK = "track", _("running track")
        HALL = "hall", _("hall floor")
        HARD = "hard", _("asphalt or concrete")
        LOOSE = "loose", _("sand, cinders or gravel")

    class Wind(models.TextChoices):
        UNKNOWN = "", _("not written down")
        STILL = "still", _("still, or indoors")
        BEHIND = "behind", _("from behind")
        AGAINST = "against", _("against")
        ACROSS = "across", _("from the side, or gusts")

    class Shoes(models.TextChoices):
        UNKNOWN = "", _("not written down")
        TRAINERS = "trainers", _("trainers")
        SPIKES = "spikes", _("spikes")
        STUDS = "studs", _("studs")
        BARE = "bare", _("barefoot")

    trial = models.ForeignKey(Trial, on_delete=models.CASCADE, related_name="results")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="results")
    on = models.DateField(_("date"))
    value_ms = models.PositiveIntegerField(_("value"))
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    helper = models.UUIDField(null=True)
    replaces = models.OneToOneField("self", null=True, on_delete=models.CASCADE, related_name="replaced_by")
    timing = models.CharField(max_length=10, choices=Timing.choices, default=Timing.UNKNOWN, blank=True)
    attempt = models.PositiveSmallIntegerField(default=1)
    state = models.CharField(max_length=7, choices=State.choices, default=State.COUNTS, blank=True)
    ran_at = models.DateTimeField(null=True)
    doubtful = models.BooleanField(default=False)
    surface = models.CharField(_("ground"), max_length=8, choices=Surface.choices, default=Surface.UNKNOWN, blank=True)
    wind = models.CharField(_("wind"), max_length=8, choices=Wind.choices, default=Wind.UNKNOWN, blank=True)
    shoes = models.CharField(_("shoes"), max_length=8, choices=Shoes.choices, default=Shoes.UNKNOWN, blank=True)
    timed_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    asked = models.BooleanField(default=False)

    class Meta:
        indexes = [models.Index(fields=["athlete", "trial", "-on"])]
        constraints = [models.CheckConstraint(condition=models.Q(value_ms__gt=0), name="result_above_zero")]
