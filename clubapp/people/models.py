"""The club and the people in it."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any, ClassVar
from zoneinfo import ZoneInfo

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clubapp.core.fields import SealedTextField
from clubapp.core.models import PublicId

VISITS_OF_A_FIRST_TIMER = 3  # a first-timer until the third attendance


class UserManager(BaseUserManager["User"]):
    def create_user(self, email: str, password: str | None = None, **fields: Any) -> User:
        user = self.model(email=email.strip().lower(), **fields)
        user.set_password(password)
        user.save(using=self._db)
        return user

    def get_by_natural_key(self, username: str | None) -> User:
        return self.get(email=(username or "").strip().lower())


class User(PublicId, AbstractBaseUser):
    """An adult who signs in by e-mail."""

    email = models.EmailField(_("e-mail"), unique=True)
    name = models.CharField(_("name"), max_length=80)
    is_active = models.BooleanField(default=True)
    joined_at = models.DateTimeField(default=timezone.now)

    objects: ClassVar[UserManager] = UserManager()
    USERNAME_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["name"]

    def __str__(self) -> str:
        return self.name or self.email


class Club(PublicId):
    """Owns everything. "Today" is the club's own day."""

    name = models.CharField(_("name"), max_length=80)
    time_zone = models.CharField(_("time zone"), max_length=40, default="Europe/London")
    made_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return self.name

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)

    def today(self, now: datetime | None = None) -> date:
        return (now or timezone.now()).astimezone(self.zone).date()


class Squad(PublicId):
    """A named list of athletes. shares_results: guardians see their own child's; off unless the head coach said so."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="squads")
    name = models.CharField(_("name"), max_length=60)
    shares_results = models.BooleanField(_("guardians see their own child's results"), default=False)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["club", "name"], name="squad_name_once_a_club")]

    def __str__(self) -> str:
        return self.name


class Role(models.TextChoices):
    HEAD_COACH = "head_coach", _("head coach")
    ASSISTANT = "assistant", _("assistant")
    WELFARE = "welfare", _("welfare officer")


class Membership(PublicId):
    """What an adult may do in a club. A guardian is not a member but stands beside a child.

    Age, vetting and first aid are what the head coach has seen with own eyes: without an entry nobody is cleared.
    """

    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="memberships")
    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=20, choices=Role.choices)
    squads = models.ManyToManyField(Squad, blank=True, related_name="members")
    eighteen = models.BooleanField(_("18 or over"), default=False)
    vetted_until = models.DateField(_("vetting valid to"), null=True, blank=True)
    first_aid_until = models.DateField(_("first aid valid to"), null=True, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["user", "club"], name="one_role_a_club")]

    def vetted_on(self, day: date) -> bool:
        return self.vetted_until is not None and self.vetted_until >= day

    def first_aider_on(self, day: date) -> bool:
        return self.first_aid_until is not None and self.first_aid_until >= day


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
    """What to know and, first of all, what to do. Shown as a flag; every read is logged."""

    athlete = models.OneToOneField(Athlete, on_delete=models.CASCADE, related_name="medical_note")
    note = SealedTextField(_("what"), blank=True)
    what_to_do = SealedTextField(_("what to do"))
    reviewed_on = models.DateField(null=True, blank=True)


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
    """What a guardian allowed for a child, or took back (given=False). Only ever added; the last one of a kind counts.

    wording: the version of the sentence that was agreed to; by: who wrote it down. Without a row nothing is allowed.
    """

    class Kind(models.TextChoices):
        GOES_ALONE = "goes_alone", _("goes home alone")

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


class OneTimeLink(PublicId):
    """A link that works once: only the hash of its token is stored."""

    class Purpose(models.TextChoices):
        SET_UP = "set_up"
        GUARDIAN = "guardian"
        MEMBER = "member"

    token_hash = models.CharField(max_length=64, unique=True)
    purpose = models.CharField(max_length=12, choices=Purpose.choices)
    club = models.ForeignKey(Club, null=True, on_delete=models.CASCADE, related_name="+")
    guardian = models.ForeignKey(Guardian, null=True, on_delete=models.CASCADE, related_name="+")
    role = models.CharField(max_length=20, choices=Role.choices, blank=True)
    squads = models.ManyToManyField(Squad, blank=True, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)


class ImportDraft(PublicId):
    """A roster between upload and confirmation: sealed, because it holds names; one an adult, gone once decided."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="+")
    by = models.OneToOneField(User, on_delete=models.CASCADE, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    table = SealedTextField()
    columns = models.JSONField(default=list)
    date_order = models.CharField(max_length=9, blank=True)
    squad = models.ForeignKey(Squad, null=True, on_delete=models.SET_NULL, related_name="+")


class Import(PublicId):
    """One confirmed roster import, with what its undo needs (sealed: it holds names)."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="imports")
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    made = models.PositiveIntegerField(default=0)
    changed = models.PositiveIntegerField(default=0)
    before = SealedTextField(blank=True)
    undone_at = models.DateTimeField(null=True)
