"""Wishes that cannot all be had come back as the smallest set of rules that clash, each with its way out."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.urls import reverse

from clubapp.engine.outcome import Reason
from clubapp.people.models import PairRule
from clubapp.planning.models import Block, Station
from clubapp.rotation.actions import Order
from clubapp.rotation.building import Clash
from clubapp.rotation.clashes import ways_out
from clubapp.rotation.models import Plan
from tests.cast import Cast
from tests.rotation.evening import SETTINGS, everybody_here, groups, made, post, spot, wishes


def clashing(cast: Cast, client: Any, **changed: Any) -> Any:
    response = post(client, "build", cast.session, **{**SETTINGS, **changed})
    assert response.status_code == 422
    return response


def tap(cast: Cast, client: Any, way: Any) -> Any:
    """Press the button of one rule."""
    sent: dict[str, list[str]] = {}
    for name, value in way.fields:
        sent.setdefault(name, []).append(value)
    return client.post(reverse("rotation:build", args=[cast.session.pk]), sent)


def together_and_apart(cast: Cast) -> None:
    for kind in ("together", "apart"):
        PairRule.objects.create(club=cast.club, kind=kind, reason="kept quiet").athletes.set(cast.athletes[:2])


@pytest.mark.parametrize("place", [0, 1])
def test_each_of_two_clashing_rules_can_be_left_out_by_one_tap(cast: Cast, place: int) -> None:
    everybody_here(cast)
    together_and_apart(cast)
    PairRule.objects.create(club=cast.club, kind="apart").athletes.set(cast.athletes[2:4])
    client = cast.client(cast.hazel)
    response = clashing(cast, client)
    ways = response.context["clashes"]
    assert len(ways) == 2
    assert sum("together" in way.text for way in ways) == 1
    assert sum("apart" in way.text for way in ways) == 1
    assert "kept quiet" not in response.content.decode()
    assert not Plan.objects.exists()
    assert tap(cast, client, ways[place]).status_code == 302
    plan = Plan.objects.get()
    assert len(plan.wishes["dropped"]) == 1
    both = {str(child.pk) for child in cast.athletes[:2]}
    assert any(both <= group for group in groups(cast.session)) == ("apart" in ways[place].text)
    assert PairRule.objects.count() == 3


def test_all_rules_count_again_by_one_tap(cast: Cast) -> None:
    everybody_here(cast)
    together_and_apart(cast)
    client = cast.client(cast.hazel)
    tap(cast, client, clashing(cast, client).context["clashes"][0])
    page = client.get(reverse("rotation:plan", args=[cast.session.pk]))
    assert page.context["left_out"] == 1
    dropped = page.context["form"]["dropped"].value()
    assert len(clashing(cast, client, dropped=dropped, all_rules="1").context["clashes"]) == 2


def test_a_leader_who_is_not_head_coach_is_told_of_a_rule_but_cannot_drop_it(cast: Cast) -> None:
    everybody_here(cast)
    together_and_apart(cast)
    cast.session.leader = cast.finn
    cast.session.save()
    response = clashing(cast, cast.client(cast.finn))
    assert {way.text for way in response.context["clashes"]} == {"A rule of the head coach on who is with whom."}
    assert all(way.fields == () for way in response.context["clashes"])
    assert "apart" not in response.content.decode()


def test_an_only_child_of_its_age(cast: Cast) -> None:
    everybody_here(cast)
    cast.ada.date_of_birth = date(2009, 1, 1)
    cast.ada.save()
    client = cast.client(cast.hazel)
    (way,) = clashing(cast, client, within_years="2").context["clashes"]
    assert "Ada" in way.text
    assert tap(cast, client, way).status_code == 302
    assert Plan.objects.get().wishes["dropped"] == [f"within:{cast.ada.pk}"]


def test_one_lone_girl(cast: Cast) -> None:
    children = everybody_here(cast)
    for child in children:
        child.sex = "m"
        child.save()
    cast.ada.sex = "f"
    cast.ada.save()
    client = cast.client(cast.hazel)
    (way,) = clashing(cast, client, not_alone=["sex:f"]).context["clashes"]
    assert way.text == "No group has exactly one girl."
    assert tap(cast, client, way).status_code == 302


def test_locks_against_a_rule(cast: Cast) -> None:
    everybody_here(cast)
    made(cast)
    foe = next(child for child in cast.athletes if spot(cast.session, child) != spot(cast.session, cast.ada))
    client = cast.client(cast.hazel)
    for child in (cast.ada, foe):
        post(client, "lock", cast.session, token=f"athlete:{child.pk}", on="1")
    PairRule.objects.create(club=cast.club, kind="together").athletes.set([cast.ada, foe])
    ways = clashing(cast, client).context["clashes"]
    assert len(ways) == 3
    unlock = next(way for way in ways if way.button == "Unlock Ada")
    assert tap(cast, client, unlock).status_code == 302
    assert Plan.objects.all()[0].locked == [f"athlete:{foe.pk}"]
    assert spot(cast.session, cast.ada) == spot(cast.session, foe)
    # Locked again, the child is held again.
    post(client, "lock", cast.session, token=f"athlete:{cast.ada.pk}", on="1")
    form = client.get(reverse("rotation:plan", args=[cast.session.pk])).context["form"]
    post(client, "build", cast.session, **SETTINGS, dropped=form["dropped"].value())
    assert Plan.objects.all()[0].locked == sorted([f"athlete:{cast.ada.pk}", f"athlete:{foe.pk}"])


def test_more_rounds_than_stations(cast: Cast) -> None:
    everybody_here(cast)
    client = cast.client(cast.hazel)
    ways = clashing(cast, client, rounds="5").context["clashes"]
    way = next(way for way in ways if way.button == "Make it 3 rounds")
    assert tap(cast, client, way).status_code == 302
    assert Plan.objects.get().wishes["rounds"] == 3


def test_groups_may_rest_for_once(cast: Cast) -> None:
    everybody_here(cast)
    client = cast.client(cast.hazel)
    way = next(way for way in clashing(cast, client, rounds="5").context["clashes"] if "rest" in way.button)
    assert tap(cast, client, way).status_code == 302
    rounds = Plan.objects.get().answer["rounds"]
    assert sum(at is None for row in rounds for at in row) == 6


def test_where_no_clash_is_known_each_rule_may_go(cast: Cast) -> None:
    everybody_here(cast, children=6)
    rule = PairRule.objects.create(club=cast.club, kind="apart")
    rule.athletes.set(cast.athletes[:2])
    order = Order(cast.session, cast.hazel, wishes(not_alone=("sex:m",), within_years=1.5), seed=1)
    unknown = Clash((Reason("time", "No groups were found in the time given."),))
    ways = ways_out(unknown, order, [("groups", "3")], full=True)
    assert [way.fields[-1][1] for way in ways[1:]] == ["not_alone:sex:m", "within_years", f"pair:{rule.pk}"]
    assert ways[3].text == "Ada and Bo are to be kept apart."
    assert all(way.fields[0] == ("groups", "3") for way in ways[1:])
    assert len(ways_out(unknown, order, [], full=False)) == 3


def test_more_work_than_minutes(cast: Cast) -> None:
    everybody_here(cast)
    client = cast.client(cast.hazel)
    ways = clashing(cast, client, work_s="1200").context["clashes"]
    fit = next(way for way in ways if way.button == "Fit the seconds to the minutes")
    assert tap(cast, client, fit).status_code == 302


def test_too_few_minutes_for_the_rounds(cast: Cast) -> None:
    everybody_here(cast)
    Block.objects.filter(session=cast.session, kind="water").update(seconds=46 * 60)
    client = cast.client(cast.hazel)
    response = clashing(cast, client)
    while response.status_code == 422:
        (way,) = (way for way in response.context["clashes"] if way.fields)
        response = tap(cast, client, way)
    assert Plan.objects.get().wishes["rounds"] < 3


def test_a_station_for_two_groups_and_an_odd_number(cast: Cast) -> None:
    everybody_here(cast)
    Station.objects.filter(session=cast.session).update(groups_min=2, groups_max=2)
    client = cast.client(cast.hazel)
    response = clashing(cast, client)
    for _tap in range(4):
        if response.status_code == 302:
            break
        way = next(way for way in response.context["clashes"] if "alone" in way.button)
        response = tap(cast, client, way)
    assert response.status_code == 302


def test_a_made_up_rule_to_drop_is_thrown_out(cast: Cast) -> None:
    everybody_here(cast)
    made_up = ["pair:../../x", "everything", "not_alone:<b>"]
    assert post(cast.client(cast.hazel), "build", cast.session, **SETTINGS, dropped=made_up).status_code == 302
    assert Plan.objects.get().wishes["dropped"] == []
