"""Taking the last change back."""

from __future__ import annotations

import pytest
from django.urls import reverse

from clubapp.rotation.models import Plan
from tests.cast import Cast
from tests.rotation.evening import everybody_here, groups, post, spot, standing


def test_anonymous_is_sent_to_sign_in(cast: Cast) -> None:
    response = post(cast.client(), "undo", cast.session, version=1)
    assert response.status_code == 302
    assert response["Location"].startswith(reverse("people:sign_in"))


@pytest.mark.parametrize("name", ["sal", "olga", "greta", "wanda", "finn"])
def test_nobody_else_undoes(cast: Cast, name: str) -> None:
    everybody_here(cast)
    standing(cast)
    standing(cast)
    assert post(cast.client(getattr(cast, name)), "undo", cast.session, version=2).status_code == 404
    assert Plan.objects.count() == 2


def test_step_by_step_back_to_the_first(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    client, seen = cast.client(cast.hazel), [groups(cast.session)]
    for child in cast.athletes[:2]:
        post(client, "move", cast.session, athlete=child.pk, group=(spot(cast.session, child) + 1) % 3)
        seen.append(groups(cast.session))
    for version, expected in ((3, seen[1]), (4, seen[0])):
        post(client, "undo", cast.session, version=version)
        assert groups(cast.session) == expected
    assert Plan.objects.count() == 5


def test_nothing_to_undo(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    address = reverse("rotation:undo", args=[cast.session.pk])
    response = cast.client(cast.hazel).post(address, {"version": 1}, follow=True)
    assert "There is nothing to undo." in response.content.decode()
    assert reverse("rotation:undo", args=[cast.session.pk]) not in response.content.decode()


def test_what_somebody_else_did_meanwhile_is_not_undone(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    client = cast.client(cast.hazel)
    post(client, "move", cast.session, athlete=cast.ada.pk, group=(spot(cast.session, cast.ada) + 1) % 3)
    standing(cast)
    address = reverse("rotation:undo", args=[cast.session.pk])
    response = client.post(address, {"version": 2}, follow=True)
    assert "Somebody changed the plan meanwhile" in response.content.decode()
    assert Plan.objects.count() == 3


@pytest.mark.parametrize("version", ["", "x", "0"])
def test_a_wrong_version(cast: Cast, version: str) -> None:
    everybody_here(cast)
    standing(cast)
    address = reverse("rotation:undo", args=[cast.session.pk])
    assert cast.client(cast.hazel).post(address, {"version": version}, follow=True).status_code == 200
    assert Plan.objects.count() == 1
