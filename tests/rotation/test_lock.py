"""Locking a child or a group, and building again round the locks."""

from __future__ import annotations

import pytest
from django.urls import reverse

from clubapp.rotation.models import Plan
from tests.cast import Cast
from tests.rotation.evening import child_of, everybody_here, groups, made, mark, post, said, spot, standing


def test_anonymous_is_sent_to_sign_in(cast: Cast) -> None:
    response = post(cast.client(), "lock", cast.session, token="group:0", on="1")
    assert response.status_code == 302
    assert response["Location"].startswith(reverse("people:sign_in"))


@pytest.mark.parametrize("name", ["sal", "olga", "greta", "wanda", "finn"])
def test_nobody_else_locks(cast: Cast, name: str) -> None:
    everybody_here(cast)
    standing(cast)
    assert post(cast.client(getattr(cast, name)), "lock", cast.session, token="group:0", on="1").status_code == 404
    assert Plan.objects.count() == 1


def test_locks_come_and_go(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    client, token = cast.client(cast.hazel), f"athlete:{cast.ada.pk}"
    post(client, "lock", cast.session, token=token, on="1")
    assert Plan.objects.all()[0].locked == [token]
    post(client, "lock", cast.session, token=token)
    assert Plan.objects.all()[0].locked == []


def test_a_locked_child_stays_through_every_seed(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    there = (spot(cast.session, cast.ada) + 1) % 3
    client = cast.client(cast.hazel)
    post(client, "move", cast.session, athlete=cast.ada.pk, group=there)
    post(client, "lock", cast.session, token=f"athlete:{cast.ada.pk}", on="1")
    bibs = [row["bib"] for row in Plan.objects.all()[0].answer["groups"]]
    for seed in range(4):
        plan = made(cast, seed=seed)
        assert spot(cast.session, cast.ada) == there
        assert [row["bib"] for row in plan.answer["groups"]] == bibs


def test_a_locked_group_stays_as_it_is(cast: Cast) -> None:
    everybody_here(cast)
    made(cast)
    client = cast.client(cast.hazel)
    there = (spot(cast.session, cast.ada) + 1) % 3
    post(client, "move", cast.session, athlete=cast.ada.pk, group=there)
    kept = groups(cast.session)[there]
    post(client, "lock", cast.session, token=f"group:{there}", on="1")
    for child in (child_of(cast, 31), child_of(cast, 32)):
        mark(cast.session, child)
    made(cast, seed=9)
    found = groups(cast.session)
    assert found[there] == kept
    assert sum(map(len, found)) == 14
    assert Plan.objects.all()[0].locked == [f"group:{there}"]


def test_a_locked_child_who_left_is_no_longer_held(cast: Cast) -> None:
    everybody_here(cast)
    made(cast)
    post(cast.client(cast.hazel), "lock", cast.session, token=f"athlete:{cast.ada.pk}", on="1")
    mark(cast.session, cast.ada, "left", minutes=5)
    plan = made(cast)
    assert plan.locked == []
    assert not any(str(cast.ada.pk) in group for group in groups(cast.session))


def test_fewer_groups_than_the_locked_one(cast: Cast) -> None:
    everybody_here(cast)
    made(cast)
    post(cast.client(cast.hazel), "lock", cast.session, token="group:2", on="1")
    assert made(cast, groups=2).locked == []
    assert [len(group) for group in groups(cast.session)] == [6, 6]


@pytest.mark.parametrize("token", ["", "group:77", "athlete:nobody", "station:1"])
def test_a_wrong_lock_is_refused_in_words(cast: Cast, token: str) -> None:
    everybody_here(cast)
    standing(cast)
    address = reverse("rotation:lock", args=[cast.session.pk])
    response = cast.client(cast.hazel).post(address, {"token": token, "on": "1"}, follow=True)
    assert len(said(response)) == 1
    assert Plan.objects.count() == 1
