"""The bell's command log, the passes that let a helper in, and what adults say on the field about children."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from clubapp.core.fields import SealedTextField
from clubapp.core.models import FieldWrite, PublicId
from clubapp.people.models import Athlete, Club
from clubapp.planning.models import Session, Station


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


class SaidBy(models.Model):
    """Which adult said it: an account or a helper's pass; exactly one when it was said."""

    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    visitor = models.ForeignKey(Visitor, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        abstract = True

    @property
    def name(self) -> str:
        """Of the adult, as others know them; empty for one who is gone."""
        person = self.by or self.visitor
        return person.name if person else ""


class HeadCount(PublicId, FieldWrite, SaidBy):
    """How many children an adult counted at a station in a round. Only ever added; the last one counts.

    expected: whom the club knew to stand there when the count came in.
    """

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="head_counts")
    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="+")
    round = models.PositiveSmallIntegerField()
    counted = models.PositiveSmallIntegerField()
    expected = models.PositiveSmallIntegerField()

    class Meta:
        indexes = [models.Index(fields=["session", "round", "station"])]


class Whereabouts(PublicId, FieldWrite, SaidBy):
    """What an adult said about where one child is. Only ever added; the last word about a child counts.

    group: with which group the child stands, for a guest of one round. count: the head-count that asked (its op_id).
    """

    class Kind(models.TextChoices):
        GROUP = "group", _("with the own group")
        GUEST = "guest", _("with another group for this round")
        AWAY = "away", _("away")
        MISSING = "missing", _("missing")

    class Reason(models.TextChoices):
        TOILET = "toilet", _("toilet")
        FIRST_AID = "first_aid", _("first aid")
        ADULT = "adult", _("with another adult")
        HURT = "hurt", _("out of the session")

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="whereabouts")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="whereabouts")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    reason = models.CharField(max_length=10, choices=Reason.choices, blank=True)
    with_whom = models.CharField(_("with whom"), max_length=80, blank=True)
    station = models.ForeignKey(Station, null=True, on_delete=models.SET_NULL, related_name="+")
    round = models.PositiveSmallIntegerField(null=True)
    group = models.PositiveSmallIntegerField(null=True)
    count = models.UUIDField(null=True)

    class Meta:
        indexes = [models.Index(fields=["session", "athlete", "tapped_at"])]


class Call(PublicId, FieldWrite, SaidBy):
    """ "Help here": an adult at a station wants the leader."""

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="calls")
    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="+")
    round = models.PositiveSmallIntegerField(null=True)


class Heard(PublicId, FieldWrite, SaidBy):
    """An adult heard what rings (about: its op_id) and sees to it; settled: there is nothing left to see to."""

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="heard")
    about = models.UUIDField(db_index=True)
    settled = models.BooleanField(default=False)
    round = models.PositiveSmallIntegerField(null=True)


class Incident(PublicId, FieldWrite, SaidBy):
    """What happened to a child, as the adult who was there wrote it down. Never edited: more is added below it.

    head_injury: an adult suspects one. The words are sealed; whoever reads them is in the audit log.
    """

    stays_as_written = True

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="incidents")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="incidents")
    happened_at = models.DateTimeField()
    station = models.ForeignKey(Station, null=True, on_delete=models.SET_NULL, related_name="+")
    head_injury = models.BooleanField(default=False)
    what = SealedTextField()
    done = SealedTextField(blank=True)
    stays_with = SealedTextField(blank=True)


class IncidentMore(PublicId, FieldWrite, SaidBy):
    """What is known later: the guardian told (whom, when), signs gone on a day, anything else.

    mistaken: the note was about another child or nobody; it stays readable and raises no flag.
    """

    stays_as_written = True

    incident = models.ForeignKey(Incident, on_delete=models.CASCADE, related_name="more")
    told_whom = SealedTextField(blank=True)
    told_at = models.DateTimeField(null=True)
    signs_gone_on = models.DateField(null=True)
    words = SealedTextField(blank=True)
    mistaken = models.BooleanField(default=False)


class Clearance(PublicId, FieldWrite, SaidBy):
    """Who cleared a child after a suspected head injury, and when; or that such an entry was wrong (stands=False)."""

    stays_as_written = True

    incident = models.ForeignKey(Incident, on_delete=models.CASCADE, related_name="clearances")
    who = SealedTextField(blank=True)
    on = models.DateField(null=True)
    stands = models.BooleanField(default=True)


class KeptIncident(PublicId):
    """An incident note that outlives its child's erased record, until the club's period is over; sealed, no link."""

    stays_as_written = True

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="+")
    happened_on = models.DateField()
    until = models.DateField()
    note = SealedTextField()
