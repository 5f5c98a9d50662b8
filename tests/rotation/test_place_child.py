"""A child who comes after the groups were made."""

from __future__ import annotations

import pytest
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from clubapp.core.registry import registry
from clubapp.people.models import Athlete, PairRule
from clubapp.rotation.actions import place_child
from clubapp.rotation.models import Plan
from clubapp.rotation.queries import unplaced
from tests.cast import Cast
from tests.rotation.evening import child_of, everybody_here, groups, mark, post, spot, standing


def test_anonymous_is_sent_to_sign_in(cast: Cast) -> None:
    response = post(cast.client(), "place", cast.session, athlete=cast.ada.pk)
    assert response.status_code == 302
    assert response["Location"].startswith(reverse("people:sign_in"))


@pytest.mark.parametrize("name", ["sal", "olga", "greta", "wanda", "finn"])
def test_nobody_else_places(cast: Cast, name: str) -> None:
    everybody_here(cast)
    standing(cast)
    late = child_of(cast, 30)
    mark(cast.session, late)
    assert post(cast.client(getattr(cast, name)), "place", cast.session, athlete=late.pk).status_code == 404
    assert unplaced(cast.session.pk) == [late.pk]


def test_a_late_child_is_in_no_group_until_one_tap(cast: Cast) -> None:
    everybody_here(cast, children=11)
    standing(cast)
    late = child_of(cast, 30)
    assert unplaced(cast.session.pk) == []
    mark(cast.session, late)
    assert unplaced(cast.session.pk) == [late.pk]
    note = registry.row_notes["rotation"](cast.session.pk)[late.pk]
    assert note.text == "here, in no group"
    client = cast.client(cast.hazel)
    page = client.get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "is here, in no group" in page
    small = min(range(3), key=lambda index: len(groups(cast.session)[index]))
    assert client.post(note.act, {"athlete": late.pk}).status_code == 302
    assert unplaced(cast.session.pk) == []
    assert spot(cast.session, late) == small
    assert registry.row_notes["rotation"](cast.session.pk) == {}


def test_before_there_are_groups_nobody_is_missing_one(cast: Cast) -> None:
    everybody_here(cast)
    assert unplaced(cast.session.pk) == []


def test_the_group_keeps_the_rules(cast: Cast) -> None:
    everybody_here(cast, children=12)
    standing(cast)
    late = child_of(cast, 30)
    foes = [min(group) for group in groups(cast.session)[:2]]
    for foe in foes:
        PairRule.objects.create(club=cast.club, kind="apart").athletes.set([late.pk, foe])
    mark(cast.session, late)
    place_child(session=cast.session, athlete_id=late.pk, by=cast.hazel)
    assert spot(cast.session, late) == 2


def test_a_locked_group_stays_closed(cast: Cast) -> None:
    everybody_here(cast, children=11)
    standing(cast)
    small = min(range(3), key=lambda index: len(groups(cast.session)[index]))
    post(cast.client(cast.hazel), "lock", cast.session, token=f"group:{small}", on="1")
    late = child_of(cast, 30)
    mark(cast.session, late)
    place_child(session=cast.session, athlete_id=late.pk, by=cast.hazel)
    assert spot(cast.session, late) != small


def test_a_second_tap_changes_nothing(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    post(cast.client(cast.hazel), "place", cast.session, athlete=cast.ada.pk)
    assert Plan.objects.count() == 1


def test_a_child_who_is_not_here_is_not_placed(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    absent = child_of(cast, 30)
    response = cast.client(cast.hazel).post(
        reverse("rotation:place", args=[cast.session.pk]), {"athlete": absent.pk}, follow=True
    )
    assert "That child is not marked here." in response.content.decode()
    assert Plan.objects.count() == 1


@pytest.mark.parametrize(("back", "own"), [("/register/", True), ("https://elsewhere.example/", False)])
def test_it_leads_back_only_to_our_own_pages(cast: Cast, back: str, own: bool) -> None:
    everybody_here(cast)
    standing(cast)
    response = post(cast.client(cast.hazel), "place", cast.session, athlete=cast.ada.pk, next=back)
    assert (response["Location"] == back) is own


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(children=st.integers(6, 14), latecomers=st.integers(1, 3), parts=st.integers(2, 4), data=st.data())
def test_placing_moves_nobody_else(cast: Cast, children: int, latecomers: int, parts: int, data: st.DataObject) -> None:
    Plan.objects.all().delete()
    cast.session.marks.all().delete()
    # Each case begins with the cast alone: what the one before it made would change what this one draws.
    Athlete.objects.exclude(pk__in=[child.pk for child in cast.athletes]).filter(club=cast.club).delete()
    everybody_here(cast, children=children)
    standing(cast, parts)
    for _turn in range(latecomers):
        late = child_of(cast, data.draw(st.integers(0, 40)), skill=data.draw(st.integers(1, 5)))
        mark(cast.session, late)
        before = groups(cast.session)
        place_child(session=cast.session, athlete_id=late.pk, by=cast.hazel)
        assert [group - {str(late.pk)} for group in groups(cast.session)] == before
        assert str(late.pk) in set().union(*groups(cast.session))
