"""Last week's groups, adapted to the children who are here today."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse

from clubapp.people.models import PairRule
from clubapp.planning.models import Session
from clubapp.rotation.actions import Order, adapt_last_groups, make_groups
from clubapp.rotation.models import Plan
from clubapp.rotation.queries import last_plan
from tests.cast import Cast, make_session
from tests.rotation.evening import SETTINGS, child_of, everybody_here, groups, mark, post, wishes


def last_week(cast: Cast, children: int = 12) -> Session:
    """A session seven days ago with groups; the same children are marked here today."""
    earlier = make_session(cast.club, cast.squad)
    earlier.date = cast.session.date - timedelta(days=7)
    earlier.save()
    for child in everybody_here(cast, children=children):
        mark(earlier, child)
    plan = make_groups(order=Order(earlier, cast.hazel, wishes(), seed=5))
    assert isinstance(plan, Plan)
    return earlier


def adapted(cast: Cast) -> Plan:
    plan = adapt_last_groups(order=Order(cast.session, cast.hazel, wishes(), seed=6))
    assert isinstance(plan, Plan)
    return plan


def test_anonymous_is_sent_to_sign_in(cast: Cast) -> None:
    response = post(cast.client(), "build", cast.session, **SETTINGS, start="last")
    assert response.status_code == 302
    assert response["Location"].startswith(reverse("people:sign_in"))


@pytest.mark.parametrize("name", ["sal", "olga", "greta", "wanda", "finn"])
def test_nobody_else_adapts(cast: Cast, name: str) -> None:
    last_week(cast)
    response = post(cast.client(getattr(cast, name)), "build", cast.session, **SETTINGS, start="last")
    assert response.status_code == 404
    assert not Plan.objects.filter(session=cast.session).exists()


def test_the_same_children_are_in_the_same_groups(cast: Cast) -> None:
    earlier = last_week(cast)
    assert post(cast.client(cast.hazel), "build", cast.session, **SETTINGS, start="last").status_code == 302
    assert groups(cast.session) == groups(earlier)
    today, then = Plan.objects.filter(session=cast.session)[0], Plan.objects.filter(session=earlier)[0]
    assert [row["bib"] for row in today.answer["groups"]] == [row["bib"] for row in then.answer["groups"]]


def test_one_is_absent_and_one_is_new(cast: Cast) -> None:
    earlier = last_week(cast)
    mark(cast.session, cast.ada, "absent", minutes=5)
    new = child_of(cast, 33)
    mark(cast.session, new)
    adapted(cast)
    ada, child = {str(cast.ada.pk)}, {str(new.pk)}
    assert [group - child for group in groups(cast.session)] == [group - ada for group in groups(earlier)]
    assert [len(group) for group in groups(cast.session)] == [4, 4, 4]


def test_a_new_rule_moves_as_few_as_it_needs(cast: Cast) -> None:
    earlier = last_week(cast)
    foes = sorted(groups(earlier)[0])[:2]
    PairRule.objects.create(club=cast.club, kind="apart").athletes.set(foes)
    adapted(cast)
    found = groups(cast.session)
    assert not any(set(foes) <= group for group in found)
    stayed = sum(len(now & then) for now, then in zip(found, groups(earlier), strict=True))
    assert stayed >= 8


def test_locks_of_last_week_do_not_count(cast: Cast) -> None:
    earlier = last_week(cast)
    post(cast.client(cast.hazel), "lock", earlier, token="group:0", on="1")
    assert adapted(cast).locked == []


def test_the_last_plan_is_of_the_squads_session_before(cast: Cast) -> None:
    earlier = last_week(cast)
    later = make_session(cast.club, cast.squad)
    later.date = cast.session.date + timedelta(days=7)
    later.save()
    mark(later, cast.ada)
    make_groups(order=Order(later, cast.hazel, wishes(groups=1), seed=1))
    found = last_plan(cast.session)
    assert found
    assert found.session_id == earlier.pk
    assert last_plan(earlier) is None
    assert last_plan(cast.other_session) is None


def test_without_an_earlier_plan_it_says_so(cast: Cast) -> None:
    everybody_here(cast)
    response = post(cast.client(cast.hazel), "build", cast.session, **SETTINGS, start="last")
    assert response.status_code == 422
    assert "There are no groups of an earlier session" in response.content.decode()


def test_last_weeks_settings_are_filled_in(cast: Cast) -> None:
    earlier = last_week(cast)
    make_groups(
        order=Order(earlier, cast.hazel, wishes(groups=2, balance=("age",), work_s=300, dropped=("size",)), seed=5)
    )
    form = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).context["form"]
    assert (form["groups"].value(), form["rounds"].value(), form["work_s"].value()) == (2, 3, 300)
    assert form["balance"].value() == ("age",)
    assert form["dropped"].value() == ()
