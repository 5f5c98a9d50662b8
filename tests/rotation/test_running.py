"""While the bell runs a plan is not replaced in silence, and nothing that the clock counts on changes."""

from __future__ import annotations

import pytest
from django.urls import reverse
from django.utils import timezone

from clubapp.rotation.models import Plan
from clubapp.rotation.queries import is_running
from tests.cast import Cast
from tests.rotation.evening import SETTINGS, everybody_here, groups, post, ring, spot, standing


def test_making_groups_again_says_what_it_does_and_asks(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    ring(cast)
    client = cast.client(cast.hazel)
    refused = post(client, "build", cast.session, **SETTINGS)
    assert refused.status_code == 422
    assert "The bell is running" in refused.content.decode()
    assert Plan.objects.count() == 1
    text = client.get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "New groups send children elsewhere at once" in text
    assert 'name="over_running"' in text


def test_only_children_move(cast: Cast) -> None:
    everybody_here(cast)
    first = standing(cast)
    ring(cast)
    made = post(cast.client(cast.hazel), "build", cast.session, **SETTINGS, over_running="1")
    assert made.status_code == 302
    second = Plan.objects.filter(session=cast.session)[0]
    assert second.version == first.version + 1
    for part in ("rounds", "timetable"):
        assert second.answer[part] == first.answer[part]
    bibs = [[row["bib"] for row in plan.answer["groups"]] for plan in (first, second)]
    assert bibs[0] == bibs[1]
    assert sum(map(len, groups(cast.session))) == 12


@pytest.mark.parametrize("changed", [{"groups": "4"}, {"rounds": "2"}, {"work_s": "300"}, {"change_s": "45"}])
def test_the_clockwork_stays(cast: Cast, changed: dict[str, str]) -> None:
    everybody_here(cast)
    standing(cast)
    ring(cast)
    response = post(cast.client(cast.hazel), "build", cast.session, **{**SETTINGS, **changed}, over_running="1")
    assert response.status_code == 422
    assert "groups, rounds and seconds stay as they are" in response.content.decode()
    assert Plan.objects.count() == 1


def test_a_move_and_its_undo_are_taken_at_once(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    ring(cast)
    client, was = cast.client(cast.hazel), spot(cast.session, cast.ada)
    post(client, "move", cast.session, athlete=cast.ada.pk, group=(was + 1) % 3)
    assert spot(cast.session, cast.ada) != was
    post(client, "undo", cast.session, version=2)
    assert spot(cast.session, cast.ada) == was


def test_undo_does_not_go_back_past_the_rounds_that_run(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast, parts=2)
    standing(cast, parts=3)
    ring(cast)
    address = reverse("rotation:undo", args=[cast.session.pk])
    response = cast.client(cast.hazel).post(address, {"version": 2}, follow=True)
    assert "The bell is running on these rounds" in response.content.decode()
    assert Plan.objects.count() == 2


def test_after_the_end_everything_may_change(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    room = ring(cast)
    assert is_running(cast.session.pk)
    room.ended_at = timezone.now()
    room.save()
    assert not is_running(cast.session.pk)
    assert post(cast.client(cast.hazel), "build", cast.session, **{**SETTINGS, "groups": "2"}).status_code == 302
    assert len(groups(cast.session)) == 2
