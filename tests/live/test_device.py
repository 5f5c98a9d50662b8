"""A phone is known by the name it gave itself, on the register and on the field alike."""

from __future__ import annotations

import uuid
from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from clubapp.live.models import Call
from clubapp.planning.queries import stations
from clubapp.register.models import Mark
from tests.cast import Cast
from tests.live.evening import helper, pass_of, ready

PHONE = str(uuid.uuid4())


def mark(cast: Cast, client: Client, **headers: str) -> str:
    fields = {"athlete": cast.session.squad.athletes.all()[0].pk, "kind": "here", "op_id": uuid.uuid4()}
    client.post(reverse("register:mark", args=[cast.session.pk]), fields, headers=headers)
    return Mark.objects.get(op_id=fields["op_id"]).device


def call(cast: Cast, client: Client, **headers: str) -> str:
    fields = {"op_id": uuid.uuid4()}
    place = stations(cast.session)[0]
    client.post(reverse("live:help", args=[cast.session.pk, place.pk]), fields, headers=headers)
    return Call.objects.get(op_id=fields["op_id"]).device


@pytest.mark.parametrize("tap", [mark, call])
def test_the_phone_s_own_name_counts(cast: Cast, tap: Callable[..., str]) -> None:
    ready(cast)
    client = cast.client(cast.hazel)
    assert tap(cast, client, **{"X-Device": PHONE}) == PHONE


@pytest.mark.parametrize("tap", [mark, call])
def test_without_a_name_a_sign_in_is_a_device(cast: Cast, tap: Callable[..., str]) -> None:
    ready(cast)
    hazel, again = cast.client(cast.hazel), cast.client(cast.hazel)
    assert tap(cast, hazel) == tap(cast, hazel) == tap(cast, hazel, **{"X-Device": "anything I like, and longer"})
    assert tap(cast, hazel) != tap(cast, again)


def test_two_helpers_without_scripts_are_two_devices(cast: Cast) -> None:
    ready(cast)
    entry = pass_of(cast)
    (tom, _visitor), (una, _other) = helper(entry, cast.hazel), helper(entry, cast.hazel, "Una")
    assert call(cast, tom) == call(cast, tom) != call(cast, una)
