"""What is written for the welfare officer's eyes alone."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from clubapp.core.fields import SealedTextField
from clubapp.core.models import PublicId
from clubapp.people.models.club import Club, User


class Concern(PublicId):
    """Something that worries an adult. Never changed, in no record handed out.

    About whom is sealed text and no link to a child: the note may be about an adult, and outlives an erased record.
    """

    club = models.ForeignKey(Club, on_delete=models.PROTECT, related_name="concerns")
    until = models.DateField(null=True)  # as the club's period was on the day it was written: no later one shortens it
    about = SealedTextField(_("about whom"))
    words = SealedTextField(_("what you saw or heard"))
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    by_name = SealedTextField()
    at = models.DateTimeField(auto_now_add=True)
