"""Ways in: links that work once, and rosters between upload and undo."""

from __future__ import annotations

from django.db import models

from clubapp.core.fields import SealedTextField
from clubapp.core.models import PublicId
from clubapp.people.models.children import Guardian
from clubapp.people.models.club import Club, Role, Squad, User


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
