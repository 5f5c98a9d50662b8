"""A guardian says when the child comes: seen at the register, a word for only so long, and never a mark."""

from __future__ import annotations

import uuid
from datetime import timedelta
from typing import Any

import pytest
from django.http import HttpResponse
from django.urls import reverse
from django.utils import timezone

from clubapp.planning.models import Session
from clubapp.register import actions as register
from clubapp.register import asking, queries
from clubapp.register.models import ComingLate, Mark
from tests.cast import Cast
from tests.register.field import say

pytestmark = pytest.mark.django_db


def began(cast: Cast, minutes: int) -> Session:
    """Today's session, begun so many minutes ago by the club's clock."""
    at = (timezone.now() - timedelta(minutes=minutes)).astimezone(cast.club.zone)
    cast.session.date, cast.session.starts = at.date(), at.time().replace(second=0, microsecond=0)
    cast.session.save()
    return cast.session


def late(cast: Cast, user: Any = None, **data: Any) -> HttpResponse:
    path = reverse("family:late", args=[cast.ada.pk, cast.session.pk])
    return cast.client(user or cast.greta).post(path, {"op_id": uuid.uuid4(), **data})


def register_page(cast: Cast) -> str:
    return cast.client(cast.finn).get(reverse("register:register", args=[cast.session.pk])).content.decode()


def home(cast: Cast) -> str:
    return cast.client(cast.greta).get(reverse("family:home")).content.decode()


def without_word(session: Session) -> list[str]:
    return [child.given_name for child in asking.no_word(session, timezone.now())]


def test_access(cast: Cast) -> None:
    assert cast.client().post(reverse("family:late", args=[cast.ada.pk, cast.session.pk])).status_code == 302
    for name in ("sal", "olga", "gus", "hazel", "finn", "wanda"):
        assert late(cast, getattr(cast, name), minutes=20).status_code == 404, name
    assert not ComingLate.objects.exists()


def test_a_word_for_as_long_as_it_makes_sense_and_never_a_mark(cast: Cast) -> None:
    session = began(cast, 12)
    assert without_word(session)[0] == "Ada"
    assert late(cast, minutes=20, word="the bus").status_code == 302
    at = f"{session.starts_at + timedelta(minutes=20):%H:%M}"
    assert f"a guardian says: comes about {at} – the bus" in register_page(cast)
    assert f"you told us: comes about {at} – the bus" in home(cast)
    assert "Ada" not in without_word(session)
    assert (
        'data-count="no-word">5</b>'
        in cast.client(cast.hazel).get(reverse("register:register", args=[session.pk])).content.decode()
    )
    assert not Mark.objects.exists()
    assert queries.here_ids(session.pk) == []
    asked = reverse("register:no_word", args=[session.pk])
    assert "Ada" not in cast.client(cast.hazel).get(asked).content.decode()
    began(cast, 31)
    session.refresh_from_db()
    assert without_word(session)[0] == "Ada"
    assert "a guardian says: comes about" in cast.client(cast.hazel).get(asked).content.decode()


def test_here_or_a_later_word_ends_it(cast: Cast) -> None:
    began(cast, 5)
    late(cast, minutes=20)
    late(cast, in_time="yes")
    assert "comes about" not in register_page(cast)
    assert "comes about" not in home(cast)
    late(cast, minutes=30)
    register.tell_cannot_come(session=cast.session, athlete=cast.ada, word="flu", tap=register.Tap(cast.greta))
    assert "told us: cannot come – flu" in register_page(cast)
    assert "comes about" not in register_page(cast)
    late(cast, minutes=40)
    assert queries.current_mark(cast.session.pk, cast.ada.pk) is None
    assert "comes about" in register_page(cast)
    say(cast, cast.ada, "here")
    assert "comes about" not in register_page(cast)
    assert ComingLate.objects.count() == 4


def test_sent_twice_counts_once_and_bad_words_are_named(cast: Cast) -> None:
    began(cast, 5)
    twice = {"op_id": uuid.uuid4(), "minutes": 20}
    assert {late(cast, **twice).status_code for _ in range(2)} == {302}
    assert ComingLate.objects.count() == 1
    path, queue = reverse("family:late", args=[cast.ada.pk, cast.session.pk]), {"Accept": "application/json"}
    client = cast.client(cast.greta)
    for bad in ({}, {"minutes": "7"}, {"minutes": "20", "word": "x" * 201}, {"minutes": "20", "op_id": "7"}):
        answer = client.post(path, bad, headers=queue)
        assert (answer.status_code, "choose about when" in answer.json()["error"]) == (422, True)
    began(cast, 61)
    answer = client.post(path, {"minutes": 20}, headers=queue)
    assert (answer.status_code, answer.json()["error"]) == (422, "This session is over.")
    assert ComingLate.objects.count() == 1
