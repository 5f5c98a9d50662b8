"""Who sees what of a plan."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from clubapp.core.registry import registry
from clubapp.people.models import Athlete, PairRule
from clubapp.planning.models import Station
from clubapp.rotation.models import Plan
from clubapp.rotation.queries import current_plan, gone
from tests.cast import Cast
from tests.rotation.evening import everybody_here, groups, made, mark, post, spot, standing


def test_anonymous_is_sent_to_sign_in(cast: Cast) -> None:
    response = cast.client().get(reverse("rotation:plan", args=[cast.session.pk]))
    assert response.status_code == 302
    assert response["Location"].startswith(reverse("people:sign_in"))


@pytest.mark.parametrize("name", ["sal", "olga", "greta", "wanda"])
def test_strangers_find_nothing(cast: Cast, name: str) -> None:
    everybody_here(cast)
    standing(cast)
    address = reverse("rotation:plan", args=[cast.session.pk])
    assert cast.client(getattr(cast, name)).get(address).status_code == 404


def test_an_assistant_sees_groups_and_grid_and_nothing_of_ability_or_rules(cast: Cast) -> None:
    everybody_here(cast)
    PairRule.objects.create(club=cast.club, kind="apart", reason="a quarrel").athletes.set(cast.athletes[:2])
    standing(cast)
    page = cast.client(cast.finn).get(reverse("rotation:plan", args=[cast.session.pk]))
    text = page.content.decode()
    assert "Ada" in text
    assert page.context["page"].judged is None
    for word in ("skill", "differ", "fair", "apart", "quarrel", "speed", "Undo", "Make groups", "Lock"):
        assert word not in text


def test_one_sentence_and_the_figures_behind_why(cast: Cast) -> None:
    everybody_here(cast)
    made(cast)
    judged = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).context["page"].judged
    assert re.fullmatch(r"Groups differ by \d\.\d\d s in speed, .+ in age and \d\.\d in skill\.", judged.fairness)
    assert re.search(r"^3 × 1\d min( \d\d s)? \+ 2 × 1 min = .+ of 48 min\.", judged.arithmetic)
    assert judged.gaps == ()


def test_the_longest_walk_follows_the_stations_and_the_plan_keeps_its_times(cast: Cast) -> None:
    everybody_here(cast)
    before = made(cast)
    rows = list(Station.objects.filter(session=cast.session).order_by("number"))
    address = reverse("rotation:plan", args=[cast.session.pk])

    def told(apart_m: float) -> str:
        for number, row in enumerate(rows):
            row.x_m, row.y_m = apart_m * number, 0.0
            row.save()
        walking: str = cast.client(cast.hazel).get(address).context["page"].judged.walking
        return walking

    assert re.fullmatch(r"Longest walk at a change-over: (12|24) m\.", told(12))
    far = told(300)
    assert re.match(
        r"Longest walk at a change-over: (300|600) m\. It takes about (250|500) s, and this plan gives 60 s", far
    )
    plan = current_plan(cast.session.pk)
    assert plan is not None
    assert plan.id == before.pk
    Station.objects.filter(session=cast.session).update(x_m=None, y_m=None)
    assert cast.client(cast.hazel).get(address).context["page"].judged.walking == ""


def test_many_whose_values_were_filled_in_are_counted(cast: Cast) -> None:
    everybody_here(cast)
    Athlete.objects.filter(club=cast.club).update(skill=None)
    standing(cast)
    judged = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).context["page"].judged
    assert "12 children: no skill estimate yet, counted like others of the same age." in judged.gaps
    assert "skill" not in judged.fairness


def test_whose_values_were_filled_in_is_said(cast: Cast) -> None:
    everybody_here(cast)
    cast.ada.results.all().delete()
    standing(cast)
    judged = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).context["page"].judged
    assert judged.gaps == ("Ada: no speed result yet, counted like others of the same age.",)


def test_who_left_after_the_build_is_shown_and_not_counted(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    mark(cast.session, cast.ada, "left", minutes=5)
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk]))
    card = page.context["page"].cards[spot(cast.session, cast.ada)]
    assert (len(card.children), card.here) == (4, 3)
    assert [child.name for child in card.children if child.gone] == ["Ada"]
    assert gone(cast.session.pk) == {cast.ada.pk}
    assert "not here" in page.content.decode()


def test_the_groups_of_a_session_long_over_are_told_as_they_were(cast: Cast) -> None:
    """While the last children wait, and for an hour after the end, who has gone is gone."""
    everybody_here(cast)
    standing(cast)
    for child in cast.squad.athletes.all():
        mark(cast.session, child, "left", minutes=5)
    address = reverse("rotation:plan", args=[cast.session.pk])
    for minutes, here in ((59, 0), (61, 4)):
        over = timezone.now().astimezone(cast.club.zone) - timedelta(minutes=minutes + cast.session.minutes)
        cast.session.date, cast.session.starts = over.date(), over.time()
        cast.session.save()
        page = cast.client(cast.hazel).get(address).context["page"]
        assert page.cards[spot(cast.session, cast.ada)].here == here


def test_a_tapped_child_makes_the_groups_buttons(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    address = reverse("rotation:plan", args=[cast.session.pk])
    client = cast.client(cast.hazel)
    move = reverse("rotation:move", args=[cast.session.pk])
    assert f'action="{move}"' not in client.get(address).content.decode()
    text = client.get(address, {"child": cast.ada.pk}).content.decode()
    assert text.count(f'action="{move}"') == 3
    assert f'action="{move}"' not in client.get(address, {"child": "nobody"}).content.decode()
    assert f'action="{move}"' not in cast.client(cast.finn).get(address, {"child": cast.ada.pk}).content.decode()


def test_before_the_register_it_says_what_to_do_first(cast: Cast) -> None:
    text = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "Take the register first" in text
    assert reverse("register:register", args=[cast.session.pk]) in text


def test_from_the_plan_page_groups_are_one_tap(cast: Cast) -> None:
    everybody_here(cast)
    client = cast.client(cast.hazel)
    page = client.get(reverse("rotation:plan", args=[cast.session.pk]))
    form = page.context["form"]
    sent = {name: form[name].value() for name in form.fields}
    sent = {name: "" if value is None else value for name, value in sent.items()}
    assert sent["groups"] == page.context["suggested"]
    assert post(client, "build", cast.session, **sent).status_code == 302
    assert (
        reverse("live:open", args=[cast.session.pk])
        in client.get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    )


def test_a_station_taken_away_is_remarked(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    Station.objects.filter(session=cast.session, number=2).delete()
    text = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "A station was taken away after these groups were made" in text


def test_names_are_not_in_the_stored_plan_and_a_child_can_be_taken_out_of_it(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    post(cast.client(cast.hazel), "lock", cast.session, token=f"athlete:{cast.ada.pk}", on="1")
    stored = str(list(Plan.objects.values_list("answer", "wishes", "proof", "locked")))
    assert "Ada" not in stored
    bib = Plan.objects.all()[0].answer["groups"][spot(cast.session, cast.ada)]["bib"]
    assert registry.exporters["rotation"](cast.ada.pk) == [{"session": str(cast.session), "group": bib}]
    others = [group - {str(cast.ada.pk)} for group in groups(cast.session)]
    registry.erasers["rotation"](cast.ada.pk)
    assert str(cast.ada.pk) not in str(list(Plan.objects.values_list("answer", "wishes", "proof", "locked")))
    assert groups(cast.session) == others


def test_a_plan_reads_as_a_value(cast: Cast) -> None:
    everybody_here(cast)
    assert current_plan(cast.session.pk) is None
    standing(cast)
    plan = current_plan(cast.session.pk)
    assert plan is not None
    station = Station.objects.get(session=cast.session, number=1)
    where = [plan.group_at(station.pk, turn) for turn in (1, 2, 3)]
    assert sorted(group.index for group in where if group) == [0, 1, 2]
    assert plan.groups_at(station.pk, 7) == ()
    found = plan.group_of(cast.ada.pk)
    assert found
    assert found.index == spot(cast.session, cast.ada)
    starts = [entry.starts_s for entry in plan.timetable]
    assert starts == sorted(starts)
    assert plan.work(1) == next(entry for entry in plan.timetable if entry.kind == "work")
