"""From what happened in the club to the phones that asked to be told of it."""

from __future__ import annotations

from clubapp.core.post import Letter, send
from clubapp.core.registry import News
from clubapp.family import push
from clubapp.family.models import PushSubscription
from clubapp.people.models import Guardian


def cry(news: News) -> None:
    """A row in the outbox for each phone, in the transaction of what happened."""
    topic = push.TOPICS.get(news.topic)
    if topic is None or not push.is_installed():
        return
    whose = dict(Guardian.objects.filter(pk__in=news.guardians, user__isnull=False).values_list("user", "pk"))
    for phone in PushSubscription.objects.filter(user__in=whose, **{topic: True}).order_by("pk"):
        send(
            Letter(
                to=str(phone.pk),
                subject="",
                text=push.words(news.topic),
                kind=push.PUSH,
                club_id=news.club_id,
                person=whose[phone.user_id],
                until=news.until,
            )
        )
