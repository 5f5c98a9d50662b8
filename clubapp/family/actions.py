"""What a guardian's pages write of their own."""

from __future__ import annotations

from django.db import transaction

from clubapp.core.audit import record
from clubapp.family.models import Feed
from clubapp.people.links import hashed, new_token
from clubapp.people.models import User


@transaction.atomic
def make_feed(*, user: User) -> str:
    """A calendar's token, shown once; an earlier one opens nothing from now on."""
    end_feed(user=user)
    token = new_token()
    Feed.objects.create(user=user, token_hash=hashed(token))
    record(club_id=None, user_id=user.pk, verb="made", kind="calendar", about=user.pk)
    return token


@transaction.atomic
def end_feed(*, user: User) -> None:
    if Feed.objects.filter(user=user).delete()[0]:
        record(club_id=None, user_id=user.pk, verb="ended", kind="calendar", about=user.pk)
