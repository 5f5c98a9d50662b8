"""The one thing of a guardian's that no other app keeps: the address of a calendar."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from clubapp.core.models import PublicId


class Feed(PublicId):
    """A calendar that a guardian's phone asks for; known by the hash of its token, and over when it is taken back."""

    user = models.OneToOneField(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    token_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)
