"""The children, what is known of them, and the adults responsible for them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import ClassVar

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clubapp.core.fields import SealedTextField
from clubapp.core.models import PublicId
from clubapp.people.models.club import Club, Squad, User

VISITS_OF_A_FIRST_TIMER = 3  # a first-timer until the third attendance


class Sex(models.TextChoices):
    GIRL = "f", _("girl")
    BOY = "m", _("boy")
    OTHER = "x", _("other")


class Health(models.TextChoices):
    """Whether an adult was asked about health; "not asked" is never shown as "nothing"."""

    NOT_ASKED = "", _("not asked yet")
    NOTHING = "no", _("nothing to know")
    NOTE = "yes", _("see the note")


class Athlete(PublicId):
    """A child of the club.

    A child written down on the field has a year of birth only; the date is then None and ages count from 1 July.
    waiting_since: on the waiting list, in no squad and so on no register, until there is a place.
    """

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="athletes")
    squads = models.ManyToManyField(Squad, blank=True, related_name="athletes")
    roster_id = models.CharField(_("roster id"), max_length=40, blank=True)
    given_name = models.CharField(_("given name"), max_length=60)
    family_name = models.CharField(_("family name"), max_length=60, blank=True)
    known_as = models.CharField(_("known as"), max_length=60, blank=True)
    date_of_birth = models.DateField(_("date of birth"), null=True, blank=True)
    birth_year = models.PositiveSmallIntegerField(_("year of birth"), null=True, blank=True)
    sex = models.CharField(_("sex"), max_length=1, choices=Sex.choices, blank=True)
    skill = models.PositiveSmallIntegerField(_("skill, 1 to 5"), null=True, blank=True)
    joined_on = models.DateField(_("joined"), null=True, blank=True)
    sessions_before = models.PositiveSmallIntegerField(_("sessions before this record"), default=0)
    health = models.CharField(_("health"), max_length=3, choices=Health.choices, blank=True)
    details_wanted = models.BooleanField(default=False)
    left_on = models.DateField(null=True, blank=True)
    waiting_since = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(skill__isnull=True) | models.Q(skill__range=(1, 5)), name="skill_1_to_5"
            ),
            models.UniqueConstraint(
                fields=["club", "roster_id"], condition=~models.Q(roster_id=""), name="roster_id_once_a_club"
            ),
        ]

    def __str__(self) -> str:
        return self.full_name

    @property
    def first_name(self) -> str:
        return self.known_as or self.given_name

    @property
    def full_name(self) -> str:
        return f"{self.first_name} {self.family_name}".strip()

    @property
    def born(self) -> date | None:
        """The date of birth, or the middle of the year of birth, or None."""
        if self.date_of_birth is None and self.birth_year:
            return date(self.birth_year, 7, 1)
        return self.date_of_birth


class MedicalNote(PublicId):
    """What to know and, first of all, what to do. Shown as a flag; every read is logged.

    to_bring: the register asks each time whether what the note speaks of is there today; it does not say what.
    """

    athlete = models.OneToOneField(Athlete, on_delete=models.CASCADE, related_name="medical_note")
    note = SealedTextField(_("what"), blank=True)
    what_to_do = SealedTextField(_("what to do"))
    to_bring = models.BooleanField(_("brings an inhaler, a pen or the like"), default=False)
    reviewed_on = models.DateField(null=True, blank=True)
    proposed: Sequence[HealthProposal] = ()  # filled by whoever reads notes, the newest first

    @property
    def to_do(self) -> str:
        """What the field is shown: what a guardian proposed and nobody has looked at yet, then what was there."""
        said = _("New from a guardian, not looked at by the club yet:")
        new = [f"{said}\n{row.what_to_do}" for row in self.proposed]
        before = [f"{_('Before that:')}\n{self.what_to_do}"] if new and self.what_to_do else [self.what_to_do]
        return "\n\n".join(part for part in [*new, *before] if part)


class HealthProposal(PublicId):
    """What a guardian wants changed in the note. Until the head coach has looked at it the field sees both."""

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="health_proposals")
    what_to_do = SealedTextField(_("what to do"))
    note = SealedTextField(_("what"), blank=True)
    to_bring = models.BooleanField(_("brings an inhaler, a pen or the like"), default=False)
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)


class Guardian(PublicId):
    """An adult responsible for a child; has an account once the invitation was used."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="guardians")
    user = models.ForeignKey(User, null=True, blank=True, on_delete=models.SET_NULL, related_name="guardianships")
    name = models.CharField(_("name"), max_length=80)
    phone = models.CharField(_("phone"), max_length=30, blank=True)
    email = models.EmailField(_("e-mail"), blank=True)

    def __str__(self) -> str:
        return self.name


class NotRestricted(models.Manager["Guardianship"]):
    """What the product goes by unless it says otherwise: a restricted adult sees, receives and decides nothing."""

    def get_queryset(self) -> models.QuerySet[Guardianship]:
        return super().get_queryset().filter(restricted=False)


class Guardianship(PublicId):
    """Which child an adult is responsible for. Nobody may collect a child unless an adult of the club said so.

    `objects` leaves out adults whose contact with the child is restricted; only pages that name them to the head
    coach ask `everyone`.
    """

    guardian = models.ForeignKey(Guardian, on_delete=models.CASCADE, related_name="children")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="adults")
    relation = models.CharField(_("relation"), max_length=40, blank=True)
    may_collect = models.BooleanField(_("may collect"), default=False)
    emergency_order = models.PositiveSmallIntegerField(_("emergency order"), default=1)
    restricted = models.BooleanField(_("contact restricted"), default=False)

    objects: ClassVar[NotRestricted] = NotRestricted()
    everyone: ClassVar[models.Manager[Guardianship]] = models.Manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["guardian", "athlete"], name="guardian_once_a_child"),
            models.CheckConstraint(
                condition=models.Q(restricted=False) | models.Q(may_collect=False), name="restricted_never_collects"
            ),
        ]


class Consent(PublicId):
    """What a guardian allowed for a child, or took back (given=False). Only added; each guardian's last one counts.

    wording: the version of the sentence that was agreed to; by: who wrote it down. Without a row nothing is allowed.
    """

    class Kind(models.TextChoices):
        GOES_ALONE = "goes_alone", _("goes home alone")
        PHOTOGRAPHS = "photographs", _("photographs")
        FIRST_AID = "first_aid", _("first aid")
        DATA = "data", _("what the club keeps")
        RESULTS = "results", _("results shown to others")

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="consents")
    guardian = models.ForeignKey(Guardian, null=True, on_delete=models.SET_NULL, related_name="consents")
    kind = models.CharField(max_length=12, choices=Kind.choices)
    given = models.BooleanField()
    wording = models.CharField(max_length=12)
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        indexes = [models.Index(fields=["athlete", "kind", "at"])]


class PairRule(PublicId):
    """Children to keep together or apart. The reason is the head coach's alone."""

    class Kind(models.TextChoices):
        TOGETHER = "together", _("keep together")
        APART = "apart", _("keep apart")

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="pair_rules")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    label = models.CharField(max_length=60, blank=True)
    athletes = models.ManyToManyField(Athlete, related_name="pair_rules")
    reason = SealedTextField(_("reason"), blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["club", "kind", "label"], condition=~models.Q(label=""), name="pair_label_once_a_kind"
            ),
        ]
