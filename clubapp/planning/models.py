"""A dated session, its blocks and its stations."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clubapp.core.fields import SealedTextField
from clubapp.core.models import PublicId
from clubapp.people.models import Club, Guardian, Squad

Spot = list[float]  # metres east and north of a ground's south-west corner, as JSON keeps them


class Venue(PublicId):
    """Where sessions take place: its ground to scale, and what an ambulance has to know.

    outline: corners in order. closed: hazards and strips where nothing may stand, each with name, at and size.
    """

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="venues")
    name = models.CharField(_("name"), max_length=80)
    outline = models.JSONField(default=list)
    closed = models.JSONField(default=list, blank=True)
    water = models.JSONField(null=True, blank=True)
    first_aid = models.JSONField(null=True, blank=True)
    first_aid_at = models.CharField(max_length=80, blank=True)
    meeting_place = models.CharField(max_length=80, blank=True)
    indoors = models.BooleanField(default=False)
    address = models.CharField(max_length=160, blank=True)
    gate = models.CharField(max_length=120, blank=True)
    entrance = models.CharField(max_length=160, blank=True)
    phone = models.CharField(max_length=40, blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    @property
    def box(self) -> tuple[float, float] | None:
        """Width and length of a rectangle from the origin; None for another shape."""
        wide, long = (max(spot[axis] for spot in self.outline) for axis in (0, 1))
        return (wide, long) if self.outline == [[0, 0], [wide, 0], [wide, long], [0, long]] else None


class Kit(PublicId):
    """How many of a kind the club owns."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="kit")
    name = models.CharField(max_length=40)
    number = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["club", "name"], name="kit_name_once_a_club")]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"


class Session(PublicId):
    """One dated meeting of a squad. Starts in the club's own time zone."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="sessions")
    squad = models.ForeignKey(Squad, on_delete=models.PROTECT, related_name="sessions")
    date = models.DateField(_("date"))
    starts = models.TimeField(_("starts at"))
    minutes = models.PositiveSmallIntegerField(_("minutes"), default=60)
    adults = models.PositiveSmallIntegerField(_("adults expected"), default=4)
    place = models.CharField(_("place"), max_length=80, blank=True)
    # Where everybody goes when the session is stopped; empty: whoever calls STOP says it.
    meeting_place = models.CharField(_("meeting place"), max_length=80, blank=True, default="")
    venue = models.ForeignKey(Venue, null=True, on_delete=models.SET_NULL, related_name="sessions")
    leader = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    called_off = models.BooleanField(default=False)
    # Raised whenever families have to know: moved, another place, called off or on again (RFC 5545, SEQUENCE).
    sequence = models.PositiveIntegerField(default=0)
    revised_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["date", "starts"]
        constraints = [
            models.CheckConstraint(condition=models.Q(minutes__range=(10, 300)), name="session_10_to_300_minutes"),
        ]

    def __str__(self) -> str:
        return f"{self.date} {self.starts:%H:%M}"

    @property
    def starts_at(self) -> datetime:
        return datetime.combine(self.date, self.starts, tzinfo=self.club.zone)

    @property
    def ends_at(self) -> datetime:
        return self.starts_at + timedelta(minutes=self.minutes)


class NoticeSeen(PublicId):
    """A guardian has seen what a session became; sequence: which of its changes."""

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="notices_seen")
    guardian = models.ForeignKey(Guardian, on_delete=models.CASCADE, related_name="+")
    sequence = models.PositiveIntegerField()
    at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["session", "guardian"], name="notice_seen_once")]


class ClubMessage(PublicId):
    """What the head coach wrote to the families of a squad, or of one of its sessions."""

    squad = models.ForeignKey(Squad, on_delete=models.CASCADE, related_name="messages")
    session = models.ForeignKey(Session, null=True, on_delete=models.SET_NULL, related_name="+")
    text = SealedTextField(_("message"))
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(auto_now_add=True)


class Review(PublicId):
    """Three short lines after the end; they head the squad's next plan. Written again they replace the earlier ones."""

    session = models.OneToOneField(Session, on_delete=models.CASCADE, related_name="review")
    went_well = models.CharField(_("went well"), max_length=160, blank=True)
    change = models.CharField(_("change"), max_length=160, blank=True)
    next_week = models.CharField(_("next week"), max_length=160, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField()


class Block(PublicId):
    """A part of a session. The rotation block takes the minutes the others leave.

    activity: the code of the card that is done in it, and its name as it was then.
    """

    class Kind(models.TextChoices):
        GATHER = "gather", _("gather")
        WARM_UP = "warm-up", _("warm-up")
        ROTATION = "rotation", _("rotation")
        WATER = "water", _("water")
        GAME = "game", _("game")
        COOL_DOWN = "cool-down", _("cool-down")

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="blocks")
    position = models.PositiveSmallIntegerField()
    kind = models.CharField(_("kind"), max_length=10, choices=Kind.choices)
    seconds = models.PositiveIntegerField(_("seconds"), default=0)
    activity = models.SlugField(max_length=40, blank=True, default="")
    name = models.CharField(_("name"), max_length=60, blank=True, default="")

    class Meta:
        ordering = ["position"]
        constraints = [models.UniqueConstraint(fields=["session", "position"], name="block_position_once")]


class Holiday(PublicId):
    """Days on which a club's series of sessions have none."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="holidays")
    name = models.CharField(_("name"), max_length=60)
    first = models.DateField(_("first day"))
    last = models.DateField(_("last day"))

    class Meta:
        ordering = ["first", "name"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(first__lte=models.F("last")), name="holiday_ends_after_it_starts"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Template(PublicId):
    """Parts and stations kept under a name, to take into any session; fields of `Block` and `Station` as they were."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="templates")
    name = models.CharField(_("name"), max_length=60)
    parts = models.JSONField(default=list)
    stations = models.JSONField(default=list)

    class Meta:
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["club", "name"], name="template_name_once_a_club")]

    def __str__(self) -> str:
        return self.name


class Activity(PublicId):
    """What a club has made of a card: its own, a changed one of the library's, or only a star on it.

    card: as `library.reading` takes it; empty: the library's card of this code, as it is there. put_away: offered no
    more. Stations keep copies, so nothing here changes what was planned.
    """

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="activities")
    code = models.SlugField(max_length=40)
    card = models.JSONField(default=dict, blank=True)
    starred = models.BooleanField(default=False)
    put_away = models.BooleanField(default=False)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["club", "code"], name="activity_code_once_a_club")]

    def __str__(self) -> str:
        return self.code


class Station(PublicId):
    """An activity set up at a place: its middle, in metres from the field's south-west corner.

    turned: quarter turns clockwise of its drawing, whose top then points north, east, south or west.
    activity: the code of the card it was made from; diagram: that card's drawing as it was then.
    """

    class Intensity(models.TextChoices):
        EASY = "easy", _("easy")
        HARD = "hard", _("hard")

    class Tools(models.TextChoices):
        NONE = "", _("none")
        CALLER = "caller", _("cue caller")
        WATCH = "watch", _("stop-watch")

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="stations")
    number = models.PositiveSmallIntegerField()
    name = models.CharField(_("name"), max_length=60)
    set_up = models.TextField(_("set-up"), blank=True)
    x_m = models.FloatField(_("metres east"), null=True, blank=True)
    y_m = models.FloatField(_("metres north"), null=True, blank=True)
    turned = models.PositiveSmallIntegerField(default=0)
    intensity = models.CharField(_("intensity"), max_length=4, choices=Intensity.choices, default=Intensity.EASY)
    groups_min = models.PositiveSmallIntegerField(_("groups at least"), default=0)
    groups_max = models.PositiveSmallIntegerField(_("groups at most"), default=1)
    kit = models.JSONField(_("kit"), default=dict, blank=True)
    # What the phone that stands here is to offer beside the bell.
    tools = models.CharField(_("on the phone"), max_length=8, choices=Tools.choices, default="", blank=True)
    activity = models.SlugField(max_length=40, blank=True, default="")
    diagram = models.JSONField(default=dict, blank=True)

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["session", "number"], name="station_number_once"),
            models.CheckConstraint(condition=models.Q(groups_max__gte=1), name="station_takes_a_group"),
            models.CheckConstraint(
                condition=models.Q(groups_min__lte=models.F("groups_max")), name="station_least_below_most"
            ),
        ]

    def __str__(self) -> str:
        return self.name
