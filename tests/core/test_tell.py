"""The hint to the phones: after commit, once, and never in the way of a write."""

from __future__ import annotations

import logging
from typing import Any
from uuid import UUID, uuid4

import pytest
from asgiref.sync import async_to_sync
from channels.layers import BaseChannelLayer, InMemoryChannelLayer, get_channel_layer
from django.db import transaction
from pytest_django.fixtures import Settings

from clubapp.core.tell import PEOPLE, close_sockets, session_group, tell, version_of
from clubapp.people.models import Club

pytestmark = pytest.mark.django_db(transaction=True)


class AwayLayer(BaseChannelLayer):
    """A broker that cannot be reached."""

    async def group_send(self, group: str, message: dict[str, Any]) -> None:
        raise ConnectionError("no broker")


class Phone:
    """One channel in a group, as a socket would hold it."""

    def __init__(self, group: str) -> None:
        layer = get_channel_layer()
        assert isinstance(layer, InMemoryChannelLayer)
        self.layer = layer
        self.channel = async_to_sync(layer.new_channel)()
        async_to_sync(layer.group_add)(group, self.channel)

    def heard(self) -> list[dict[str, Any]]:
        queue = self.layer.channels.get(self.channel)
        return [queue.get_nowait()[1] for _ in range(queue.qsize())] if queue else []  # beside each, its expiry


@pytest.fixture
def session_id() -> UUID:
    return uuid4()


@pytest.fixture
def phone(session_id: UUID) -> Phone:
    return Phone(session_group(session_id))


def test_the_hint_goes_out_after_commit(session_id: UUID, phone: Phone) -> None:
    with transaction.atomic():
        tell(session_id, "register", by="a phone")
        assert phone.heard() == []
    assert phone.heard() == [{"type": "hint", "what": "register", "version": 1, "by": "a phone"}]


def test_a_write_taken_back_says_nothing(session_id: UUID, phone: Phone) -> None:
    with transaction.atomic():
        tell(session_id, "register")
        transaction.set_rollback(True)
    assert phone.heard() == []
    assert version_of(session_id) == 0


def test_the_version_rises_by_one_a_write(session_id: UUID, phone: Phone) -> None:
    for expected in (1, 2, 3):
        with transaction.atomic():
            assert tell(session_id, "register") == expected
    assert version_of(session_id) == 3
    assert [hint["version"] for hint in phone.heard()] == [1, 2, 3]


def test_another_session_hears_nothing(session_id: UUID) -> None:
    other = Phone(session_group(uuid4()))
    with transaction.atomic():
        tell(session_id, "register")
    assert other.heard() == []


def test_with_the_broker_away_the_write_stands(
    session_id: UUID, settings: Settings, caplog: pytest.LogCaptureFixture
) -> None:
    settings.CHANNEL_LAYERS = {"default": {"BACKEND": f"{__name__}.AwayLayer"}}
    with caplog.at_level(logging.WARNING, logger="clubapp.core.tell"), transaction.atomic():
        Club.objects.create(name="Alder Bank")
        tell(session_id, "register")
    assert Club.objects.filter(name="Alder Bank").exists()
    assert version_of(session_id) == 1
    assert [record.getMessage() for record in caplog.records] == ["hint not sent: channel layer unavailable"]


def test_sockets_of_a_person_are_closed_after_commit() -> None:
    user_id = uuid4()
    phone = Phone(PEOPLE)
    with transaction.atomic():
        close_sockets(user_id)
        assert phone.heard() == []
    assert phone.heard() == [{"type": "closed", "user": str(user_id), "code": 4001}]
