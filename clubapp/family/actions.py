"""What a guardian's pages write of their own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from clubapp.core.audit import record
from clubapp.core.post import Letter, send
from clubapp.family import push
from clubapp.family.models import Feed, PushSubscription
from clubapp.people.access import children_of
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


PHONE = "fieldbell.push"  # in a sign-in: which subscription is this phone's
MOST_PHONES = 10


@dataclass(frozen=True)
class Phone:
    """What a browser gives to be told by, and of what it wants to be told."""

    endpoint: str
    p256dh: str
    auth: str
    changes: bool
    messages: bool


@transaction.atomic
def tell_phone(*, user: User, phone: Phone) -> PushSubscription:
    """Tell this phone from now on, whoever had it before; a new one gets a first notice, so that its owner sees one."""
    topics = {"changes": phone.changes, "messages": phone.messages}
    keys = {"endpoint": phone.endpoint, "p256dh": phone.p256dh, "auth": phone.auth}
    row, made = PushSubscription.objects.update_or_create(
        endpoint_hash=hashed(phone.endpoint), defaults={**keys, **topics, "user": user, "seen_at": timezone.now()}
    )
    if made:
        send(Letter(to=str(row.pk), subject="", text=push.words(""), kind=push.PUSH))
    newest = PushSubscription.objects.filter(user=user).order_by("-seen_at", "pk")[:MOST_PHONES]
    PushSubscription.objects.filter(user=user).exclude(pk__in=[one.pk for one in newest]).delete()
    record(club_id=None, user_id=user.pk, verb="changed", kind="notices", about=user.pk)
    return row


@transaction.atomic
def leave_phone(*, user: User, subscription_id: UUID | str) -> None:
    """This phone is told nothing more."""
    if PushSubscription.objects.filter(user=user, pk=subscription_id).delete()[0]:
        record(club_id=None, user_id=user.pk, verb="ended", kind="notices", about=user.pk)


def see_phone(*, user: User, subscription_id: UUID | str) -> None:
    """It is still in this adult's hands."""
    PushSubscription.objects.filter(user=user, pk=subscription_id).update(seen_at=timezone.now())


def sign_out_phone(data: Mapping[str, Any]) -> None:
    """A sign-in ends: its phone goes with it."""
    if data.get(PHONE):
        PushSubscription.objects.filter(pk=data[PHONE]).delete()


@transaction.atomic
def part(user_id: UUID, restricted: bool) -> None:
    """An account may see a child no more. After a restriction nothing it held comes back, also when that is lifted."""
    user = User.objects.get(pk=user_id)
    if restricted or not children_of(user).exists():
        end_feed(user=user)
        PushSubscription.objects.filter(user=user).delete()


def forget_all() -> None:
    """A copy of the database was put back: an address or a phone that was taken away since must not come with it."""
    Feed.objects.all().delete()
    PushSubscription.objects.all().delete()
