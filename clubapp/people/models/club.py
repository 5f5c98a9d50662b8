"""The club, its squads and the adults who work in it."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any, ClassVar
from zoneinfo import ZoneInfo

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clubapp.core.models import PublicId


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
    second_step = models.BooleanField(_("head coaches sign in in two steps"), default=False)
    # Months by the name of what is kept; what is not in it is kept for the usual time.
    periods = models.JSONField(default=dict, blank=True)
    tidies_itself = models.BooleanField(_("old records go every month"), default=False)
    tidied_on = models.DateField(null=True, blank=True)
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
