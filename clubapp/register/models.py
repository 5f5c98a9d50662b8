"""Who is here: marks are only ever added, the current one is derived."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from clubapp.core.fields import SealedTextField
from clubapp.core.models import FieldWrite, PublicId
from clubapp.people.models import Athlete, Guardian
from clubapp.planning.models import Session


class Mark(PublicId, FieldWrite):
    """One entry in the register. No row, or CLEARED, means that nobody has said anything yet."""

    class Kind(models.TextChoices):
        HERE = "here", _("here")
        EASY = "easy", _("here, but go easy")
        LATE = "late", _("late")
        LEFT = "left", _("gone")
        ABSENT = "absent", _("absent")
        TOLD = "told", _("told us")
        CLEARED = "cleared", _("not marked")

    class Went(models.TextChoices):
        """How a child that is gone went. Empty in marks from before this was asked: nobody said who may collect."""

        ADULT = "adult", _("with an adult who may collect")
        ALONE = "alone", _("alone, as a guardian agreed")
        DECIDED = "decided", _("as the leader decided")

    class LeaveOut(models.TextChoices):
        JUMPS = "jumps", _("jumps")
        SPRINTS = "sprints", _("sprints")
        CONTACT = "contact", _("contact")
        WATCHING = "watching", _("all but watching")

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="marks")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="marks")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    leave_out = models.JSONField(default=list, blank=True)
    with_whom = models.CharField(_("with whom"), max_length=80, blank=True)
    went = models.CharField(max_length=8, choices=Went.choices, blank=True, default="")
    collector = models.ForeignKey(Guardian, null=True, on_delete=models.SET_NULL, related_name="+")
    reason = models.CharField(_("reason"), max_length=200, blank=True, default="")
    word = models.CharField(_("a word"), max_length=200, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    by_guardian = models.BooleanField(default=False)

    class Meta:
        indexes = [models.Index(fields=["session", "athlete", "tapped_at"])]


class Contacted(PublicId, FieldWrite):
    """A guardian was asked after a child who is expected, and what came of it. Only ever added."""

    class Answer(models.TextChoices):
        COMING = "coming", _("on the way")
        CANNOT = "cannot", _("cannot come")
        NOBODY = "nobody", _("no answer")

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="contacted")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="contacted")
    guardian = models.ForeignKey(Guardian, null=True, on_delete=models.SET_NULL, related_name="+")
    said = models.CharField(max_length=8, choices=Answer.choices)
    word = models.CharField(_("a word"), max_length=200, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")


class Brought(PublicId, FieldWrite):
    """Whether the inhaler or pen that a health note speaks of is there today. Only added; the last one counts."""

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="brought")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="brought")
    there = models.BooleanField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")


class ComingLate(PublicId, FieldWrite):
    """A guardian says when the child comes: to be known at the register, and never a mark. Only added; the last counts.

    minutes: after the start; None takes it back.
    """

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="coming_late")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="coming_late")
    minutes = models.PositiveSmallIntegerField(_("minutes after the start"), null=True)
    word = models.CharField(_("a word"), max_length=200, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")


class PickUp(PublicId):
    """A guardian asks that somebody else takes the child home today. Counts only once the session's leader said yes.

    Whoever asked and may see the child no more has asked for nothing.
    """

    class State(models.TextChoices):
        ASKED = "asked", _("asked for, not confirmed")
        CONFIRMED = "confirmed", _("confirmed")
        REFUSED = "refused", _("refused")
        WITHDRAWN = "withdrawn", _("taken back")

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="pick_ups")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="pick_ups")
    guardian = models.ForeignKey(Guardian, on_delete=models.CASCADE, related_name="+")
    name = SealedTextField(_("who"))
    relation = SealedTextField(_("relation"))
    phone = SealedTextField(_("phone"), blank=True)
    asked_at = models.DateTimeField(auto_now_add=True)
    state = models.CharField(max_length=10, choices=State.choices, default=State.ASKED)
    decided_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    decided_at = models.DateTimeField(null=True)


class AdultMark(PublicId, FieldWrite):
    """An adult of the evening: here or gone, and whether 18 or over (only then counted in the ratio)."""

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="adult_marks")
    person = models.UUIDField(help_text="the same for every mark of one adult in this session")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    name = models.CharField(_("name"), max_length=80)
    here = models.BooleanField()
    eighteen = models.BooleanField(_("18 or over"), default=False)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")


class FinishedRegister(PublicId):
    """The head coach or leader said that the register is finished; a later mark does not undo it."""

    session = models.OneToOneField(Session, on_delete=models.CASCADE, related_name="finished_register")
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
