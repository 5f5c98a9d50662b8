"""Squads and pair rules."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from clubapp.people import actions
from clubapp.people.models import Athlete, PairRule, Squad
from tests.cast import Cast
from tests.people.access import for_no_club, only_the_head_coach


@pytest.fixture
def rule(cast: Cast) -> PairRule:
    wish = actions.PairWish(PairRule.Kind.APART, cast.athletes[:2], reason="They egg each other on")
    return actions.make_pair_rule(club=cast.club, wish=wish, by=cast.hazel)


def test_only_the_head_coach_sees_the_pages(cast: Cast, rule: PairRule) -> None:
    for name in ("squads", "pair_rules"):
        for_no_club(cast, reverse(f"people:{name}"))
    for name, row in (("squad", cast.squad), ("pair_rule", rule)):
        only_the_head_coach(cast, reverse(f"people:{name}", args=[row.pk]))
        only_the_head_coach(cast, reverse(f"people:{name}_remove", args=[row.pk]))
    assert cast.squad.athletes.count() == 6


def test_a_squad_is_made_filled_and_renamed(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    client.post(reverse("people:squads"), {"name": " Tuesday "})
    squad = Squad.objects.get(name="Tuesday")
    data = {"name": "Wednesday", "athletes": [str(child.pk) for child in cast.athletes[:2]]}
    client.post(reverse("people:squad", args=[squad.pk]), data)
    squad.refresh_from_db()
    assert (squad.name, set(squad.athletes.all())) == ("Wednesday", set(cast.athletes[:2]))


@pytest.mark.parametrize("name", ["", "saturday", "a;b", "x" * 61])
def test_a_bad_squad_name_is_refused(cast: Cast, name: str) -> None:
    page = cast.client(cast.hazel).post(reverse("people:squads"), {"name": name})
    assert "name" in page.context["form"].errors
    assert Squad.objects.filter(club=cast.club).count() == 1


def test_a_child_of_another_club_joins_no_squad(cast: Cast) -> None:
    zed = Athlete.objects.get(given_name="Zed")
    data = {"name": "Saturday", "athletes": [str(zed.pk)]}
    page = cast.client(cast.hazel).post(reverse("people:squad", args=[cast.squad.pk]), data)
    assert "athletes" in page.context["form"].errors


def test_a_child_that_left_keeps_its_place_in_the_squad(cast: Cast) -> None:
    actions.leave_club(athlete=cast.ada, by=cast.hazel)
    actions.change_squad(squad=cast.squad, name="Saturday", athletes=cast.athletes[1:3], by=cast.hazel)
    assert set(cast.squad.athletes.all()) == set(cast.athletes[:3])


def test_a_squad_with_sessions_stays(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    client.post(reverse("people:squad_remove", args=[cast.squad.pk]))
    assert Squad.objects.filter(pk=cast.squad.pk).exists()
    empty = actions.make_squad(club=cast.club, name="Tuesday", by=cast.hazel)
    client.post(reverse("people:squad_remove", args=[empty.pk]))
    assert not Squad.objects.filter(pk=empty.pk).exists()


def rule_data(cast: Cast, **more: Any) -> dict[str, Any]:
    return {"kind": "together", "athletes": [str(child.pk) for child in cast.athletes[:2]], "reason": "Sisters"} | more


def test_a_rule_is_made_with_a_label_of_its_own_and_a_sealed_reason(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    for _ in range(2):
        client.post(reverse("people:pair_rules"), rule_data(cast))
    assert sorted(PairRule.objects.values_list("label", flat=True)) == ["1", "2"]
    raw = PairRule.objects.extra(select={"raw": "reason"}).values_list("raw", flat=True)
    assert not any("Sisters" in text for text in raw)


@pytest.mark.parametrize(("field", "value"), [("kind", "near"), ("athletes", []), ("reason", "x" * 501)])
def test_a_bad_rule_is_refused(cast: Cast, field: str, value: Any) -> None:
    page = cast.client(cast.hazel).post(reverse("people:pair_rules"), rule_data(cast) | {field: value})
    assert field in page.context["form"].errors
    assert not PairRule.objects.exists()


def test_one_child_makes_no_rule(cast: Cast) -> None:
    data = rule_data(cast, athletes=[str(cast.ada.pk)])
    page = cast.client(cast.hazel).post(reverse("people:pair_rules"), data)
    assert "athletes" in page.context["form"].errors


def test_a_rule_is_changed_and_removed(cast: Cast, rule: PairRule) -> None:
    client = cast.client(cast.hazel)
    client.post(reverse("people:pair_rule", args=[rule.pk]), rule_data(cast))
    rule.refresh_from_db()
    assert (rule.kind, rule.reason) == ("together", "Sisters")
    client.post(reverse("people:pair_rule_remove", args=[rule.pk]))
    assert not PairRule.objects.exists()


def test_a_rule_that_changes_kind_takes_a_free_label(cast: Cast, rule: PairRule) -> None:
    actions.make_pair_rule(club=cast.club, wish=actions.PairWish(PairRule.Kind.TOGETHER, cast.athletes[2:4]))
    wish = actions.PairWish(PairRule.Kind.TOGETHER, cast.athletes[:2])
    actions.change_pair_rule(rule=rule, wish=wish, by=cast.hazel)
    assert set(PairRule.objects.values_list("kind", "label")) == {("together", "1"), ("together", "2")}


def test_the_reason_is_on_no_page_but_its_own(cast: Cast, rule: PairRule) -> None:
    client = cast.client(cast.hazel)
    pages = ("athletes", "pair_rules", "members", "squads", "roster_export")
    texts = [client.get(reverse(f"people:{name}")).content.decode() for name in pages]
    texts.append(client.get(reverse("people:athlete", args=[cast.ada.pk])).content.decode())
    assert not any("egg each other" in text for text in texts)
    assert "egg each other" in client.get(reverse("people:pair_rule", args=[rule.pk])).content.decode()
