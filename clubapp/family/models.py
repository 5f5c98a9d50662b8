"""What a guardian has that no other app keeps: the address of a calendar, and the phones that are told at once."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone

from clubapp.core.fields import SealedTextField
from clubapp.core.models import PublicId


class Feed(PublicId):
    """A calendar that a guardian's phone asks for; known by the hash of its token, and over when it is taken back."""

    user = models.OneToOneField(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    token_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)


class PushSubscription(PublicId):
    """A browser that asked to be told at once, and of what (RFC 8030). Its address is a key: sealed, known by a hash.

    seen_at: when this phone last showed a page of ours; one not seen for long is told nothing more.
    """

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    endpoint_hash = models.CharField(max_length=64, unique=True)
    endpoint = SealedTextField()
    p256dh = SealedTextField()
    auth = SealedTextField()
    changes = models.BooleanField(default=False)
    messages = models.BooleanField(default=False)
    seen_at = models.DateTimeField(default=timezone.now)
