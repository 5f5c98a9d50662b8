"""What each rule cost in fairness, in words, for the head coach alone."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from django.urls import reverse

from clubapp.engine import fairness as engine_fairness
from clubapp.engine import groups as engine_groups
from clubapp.people.models import PairRule
from clubapp.rotation import bridge
from clubapp.rotation.evening import evening_of
from clubapp.rotation.queries import current_plan
from tests.cast import Cast
from tests.rotation.evening import everybody_here, made, standing, wishes
from tests.rotation.test_wishes import earlier


def ask(cast: Cast, who: str = "hazel", **headers: str) -> Any:
    address = reverse("rotation:costs", args=[cast.session.pk])
    return cast.client(getattr(cast, who)).get(address, headers=headers)


def spread_of(problem: engine_groups.Problem, answer: engine_groups.Answer | None) -> str:
    """The seconds between the quickest group's mean and the slowest's."""
    assert answer is not None
    report = engine_fairness.report(problem.athletes, problem.on, problem.balance, answer.groups)
    return f"{report.attributes[0].spread:.2f}"


def test_anonymous_is_sent_to_sign_in(cast: Cast) -> None:
    response = cast.client().get(reverse("rotation:costs", args=[cast.session.pk]))
    assert response["Location"].startswith(reverse("people:sign_in"))


@pytest.mark.parametrize("name", ["sal", "olga", "greta", "wanda", "finn"])
def test_nobody_else_learns_what_a_rule_costs(cast: Cast, name: str) -> None:
    everybody_here(cast)
    standing(cast)
    assert ask(cast, name).status_code == 404


def test_the_leader_who_is_not_head_coach_does_not_either(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    cast.session.leader = cast.finn
    cast.session.save()
    assert ask(cast, "finn").status_code == 404
    address = reverse("rotation:plan", args=[cast.session.pk])
    assert "What each rule cost" not in cast.client(cast.finn).get(address).content.decode()
    assert "What each rule cost" in cast.client(cast.hazel).get(address).content.decode()


def test_a_cost_is_how_much_fairer_the_groups_would_be_without_the_rule(cast: Cast) -> None:
    children = everybody_here(cast)
    fastest = [children[place] for place in (0, 5, 8)]
    PairRule.objects.create(club=cast.club, kind="together", reason="cousins").athletes.set(fastest)
    made(cast, balance=("speed_s",))
    problem = bridge.groups_problem(evening_of(cast.session), wishes(balance=("speed_s",)))
    free = engine_groups.solve(replace(problem, together=()))
    cost = engine_groups.solve(problem).score - free.score
    assert cost > 0.1
    text = ask(cast).content.decode()
    now = engine_groups.solve(problem).score
    bound = spread_of(problem, engine_groups.solve(problem).answer)
    loose = spread_of(problem, engine_groups.solve(replace(problem, together=())).answer)
    words = f"Keeping Ada, Fay and Kit2 together: groups differ by {bound} s in speed;"
    words += f" without it, by {loose} s in speed."
    assert f"{words} It costs {cost:.2f}: fairness is {now:.2f} and would be {free.score:.2f} without." in text
    assert "cousins" not in text


def test_like_with_like_is_told_by_its_figures_alone(cast: Cast) -> None:
    children = everybody_here(cast)
    PairRule.objects.create(club=cast.club, kind="together").athletes.set([children[0], children[9]])
    made(cast, balance=("speed_s",), mode="like")
    (row,) = ask(cast).context["costed"].rows
    assert row.startswith("Keeping ")
    assert "together. It costs " in row
    assert "groups differ" not in row


def test_rules_that_cost_nothing_are_counted(cast: Cast) -> None:
    everybody_here(cast)
    made(cast, within_years=9.0, largest_age_gap=9.0)
    page = ask(cast)
    assert page.context["costed"].rows == ()
    assert "2 rules cost nothing." in page.content.decode()


def test_the_fragment_is_the_list_alone(cast: Cast) -> None:
    everybody_here(cast)
    made(cast, within_years=9.0)
    text = ask(cast, **{"HX-Request": "true"}).content.decode()
    assert "1 rule costs nothing." in text
    assert "<html" not in text


def test_without_a_rule_there_is_nothing_to_cost(cast: Cast) -> None:
    everybody_here(cast)
    made(cast)
    assert "Nothing but fairness was asked." in ask(cast).content.decode()


def test_without_a_plan_it_says_what_to_do_first(cast: Cast) -> None:
    everybody_here(cast)
    assert "make them first" in ask(cast).content.decode()


def test_groups_that_break_a_rule_have_no_costs(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    plan = current_plan(cast.session.pk)
    assert plan is not None
    PairRule.objects.create(club=cast.club, kind="apart").athletes.set(plan.groups[0].athletes[:2])
    assert "do not keep every rule as they stand" in ask(cast).content.decode()


def test_how_many_meet_again_is_told(cast: Cast) -> None:
    children = everybody_here(cast)
    earlier(cast, 1, children[:4], children[4:8], children[8:])
    made(cast, balance=(), new_company=True)
    assert "Of 18 pairs who were together in the last weeks, 3 are together again." in ask(cast).content.decode()
