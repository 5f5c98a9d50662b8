"""Moving one child by hand."""

from __future__ import annotations

from itertools import permutations
from uuid import uuid4

import pytest
from django.urls import reverse

from clubapp.core.tell import version_of
from clubapp.people.models import PairRule
from clubapp.rotation.models import Plan
from tests.cast import Cast
from tests.rotation.evening import child_of, everybody_here, groups, mark, post, said, spot, standing


def test_anonymous_is_sent_to_sign_in(cast: Cast) -> None:
    response = post(cast.client(), "move", cast.session, athlete=cast.ada.pk, group=0)
    assert response.status_code == 302
    assert response["Location"].startswith(reverse("people:sign_in"))


@pytest.mark.parametrize("name", ["sal", "olga", "greta", "wanda", "finn"])
def test_nobody_else_moves(cast: Cast, name: str) -> None:
    everybody_here(cast)
    standing(cast)
    response = post(cast.client(getattr(cast, name)), "move", cast.session, athlete=cast.ada.pk, group=0)
    assert response.status_code == 404
    assert Plan.objects.count() == 1


def test_one_child_moves_and_nobody_else(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    before, told = groups(cast.session), version_of(cast.session.pk)
    there = (spot(cast.session, cast.ada) + 1) % 3
    response = post(cast.client(cast.hazel), "move", cast.session, athlete=cast.ada.pk, group=there)
    assert response["Location"].endswith("#result")
    ada = {str(cast.ada.pk)}
    assert [group - ada for group in groups(cast.session)] == [group - ada for group in before]
    assert spot(cast.session, cast.ada) == there
    assert version_of(cast.session.pk) == told + 1


def test_the_effect_is_shown(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    there = (spot(cast.session, cast.ada) + 1) % 3
    client = cast.client(cast.hazel)
    post(client, "move", cast.session, athlete=cast.ada.pk, group=there)
    change = client.get(reverse("rotation:plan", args=[cast.session.pk])).context["page"].judged.change
    bibs = [row["bib"] for row in Plan.objects.all()[0].answer["groups"]]
    assert change.text == f"Ada moved from {bibs[there - 1]} to {bibs[there]}."
    assert [label for label, _before, _after in change.figures] == ["speed", "age", "skill"]
    assert any(before != after for _label, before, after in change.figures)


def test_a_rule_the_move_breaks_is_named(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    at = {child: spot(cast.session, child) for child in cast.athletes[:6]}
    foe = next(child for child in cast.athletes[1:] if at[child] != at[cast.ada])
    PairRule.objects.create(club=cast.club, kind="apart").athletes.set([cast.ada, foe])
    client = cast.client(cast.hazel)
    post(client, "move", cast.session, athlete=cast.ada.pk, group=at[foe])
    page = client.get(reverse("rotation:plan", args=[cast.session.pk]))
    (rule,) = page.context["page"].judged.change.broken
    assert rule in {f"{a} and {b} are to be kept apart." for a, b in permutations(("Ada", foe.first_name))}


def test_a_leader_who_is_not_head_coach_reads_no_pair_rule(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    cast.session.leader = cast.finn
    cast.session.save()
    at = {child: spot(cast.session, child) for child in cast.athletes}
    foe = next(child for child in cast.athletes[1:] if at[child] != at[cast.ada])
    PairRule.objects.create(club=cast.club, kind="apart").athletes.set([cast.ada, foe])
    client = cast.client(cast.finn)
    post(client, "move", cast.session, athlete=cast.ada.pk, group=at[foe])
    page = client.get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "A rule of the head coach on who is with whom." in page
    assert "kept apart" not in page
    assert " in skill" not in page


def test_the_same_place_changes_nothing(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    post(cast.client(cast.hazel), "move", cast.session, athlete=cast.ada.pk, group=spot(cast.session, cast.ada))
    assert Plan.objects.count() == 1


def test_a_late_child_is_put_where_the_coach_taps(cast: Cast) -> None:
    everybody_here(cast, children=6)
    standing(cast)
    late = child_of(cast, 30)
    mark(cast.session, late)
    post(cast.client(cast.hazel), "move", cast.session, athlete=late.pk, group=2)
    assert spot(cast.session, late) == 2


@pytest.mark.parametrize("fields", [{}, {"athlete": "x", "group": "0"}, {"athlete": str(uuid4()), "group": "0"}])
def test_a_wrong_child_is_refused_in_words(cast: Cast, fields: dict[str, str]) -> None:
    everybody_here(cast)
    standing(cast)
    response = cast.client(cast.hazel).post(reverse("rotation:move", args=[cast.session.pk]), fields, follow=True)
    assert len(said(response)) == 1
    assert said(response)[0] in ("Tap a child, then a group.", "That child is not marked here.")
    assert Plan.objects.count() == 1


def test_a_group_that_is_gone(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    fields = {"athlete": cast.ada.pk, "group": 9}
    response = cast.client(cast.hazel).post(reverse("rotation:move", args=[cast.session.pk]), fields, follow=True)
    assert "That group is not in the plan any more" in response.content.decode()


def test_no_plan_yet(cast: Cast) -> None:
    everybody_here(cast)
    fields = {"athlete": cast.ada.pk, "group": 0}
    response = cast.client(cast.hazel).post(reverse("rotation:move", args=[cast.session.pk]), fields, follow=True)
    assert "There are no groups yet" in response.content.decode()


def test_a_page_that_asks_for_it_gets_the_fragment(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    there = (spot(cast.session, cast.ada) + 1) % 3
    address = reverse("rotation:move", args=[cast.session.pk])
    fields = {"athlete": cast.ada.pk, "group": there}
    response = cast.client(cast.hazel).post(address, fields, headers={"HX-Request": "true"})
    text = response.content.decode()
    assert text.lstrip().startswith('<div id="result"')
    assert "<html" not in text
