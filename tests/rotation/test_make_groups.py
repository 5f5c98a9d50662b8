"""Making groups from the children who are here."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse

from clubapp.core.tell import version_of
from clubapp.people.models import PairRule
from clubapp.planning.models import Block, Station
from clubapp.rotation.models import Plan
from clubapp.rotation.queries import current_plan
from tests.cast import Cast
from tests.rotation.evening import SETTINGS, child_of, everybody_here, groups, made, mark, post


def test_anonymous_is_sent_to_sign_in(cast: Cast) -> None:
    response = post(cast.client(), "build", cast.session, **SETTINGS)
    assert response.status_code == 302
    assert response["Location"].startswith(reverse("people:sign_in"))


@pytest.mark.parametrize("name", ["sal", "olga", "greta", "wanda", "finn"])
def test_nobody_else_makes_groups(cast: Cast, name: str) -> None:
    everybody_here(cast)
    assert post(cast.client(getattr(cast, name)), "build", cast.session, **SETTINGS).status_code == 404
    assert not Plan.objects.exists()


def test_the_leader_makes_groups(cast: Cast) -> None:
    everybody_here(cast)
    cast.session.leader = cast.finn
    cast.session.save()
    assert post(cast.client(cast.finn), "build", cast.session, **SETTINGS).status_code == 302
    assert Plan.objects.get().by == cast.finn


def test_reading_the_address_makes_nothing(cast: Cast) -> None:
    assert cast.client(cast.hazel).get(reverse("rotation:build", args=[cast.session.pk])).status_code == 405


def test_every_child_here_is_in_one_group_and_nobody_else(cast: Cast) -> None:
    children = everybody_here(cast)
    absent = child_of(cast, 40)
    mark(cast.session, absent, "absent")
    response = post(cast.client(cast.hazel), "build", cast.session, **SETTINGS)
    assert response["Location"] == reverse("rotation:plan", args=[cast.session.pk]) + "#result"
    found = groups(cast.session)
    assert sorted(child for group in found for child in group) == sorted(str(child.pk) for child in children)
    assert [len(group) for group in found] == [4, 4, 4]


def test_every_group_is_at_every_station_once_and_the_times_fill_the_minutes(cast: Cast) -> None:
    everybody_here(cast)
    made(cast)
    plan = current_plan(cast.session.pk)
    assert plan is not None
    stations = set(Station.objects.filter(session=cast.session).values_list("pk", flat=True))
    for group in range(3):
        assert {plan.station_of(group, turn) for turn in (1, 2, 3)} == stations
    blocks = sum(Block.objects.filter(session=cast.session).values_list("seconds", flat=True))
    rotation = sum(entry.seconds for entry in plan.timetable if entry.kind in ("work", "change"))
    assert [entry.kind for entry in plan.timetable] == [
        "gather", "work", "change", "work", "change", "work", "water", "cool-down",
    ]  # fmt: skip
    assert 60 * 60 - blocks - 15 < rotation <= 60 * 60 - blocks
    assert plan.seconds <= 60 * 60


def test_a_new_plan_is_a_new_row_and_phones_are_told(cast: Cast) -> None:
    everybody_here(cast)
    before = version_of(cast.session.pk)
    first, second = made(cast), made(cast)
    assert (first.version, second.version) == (1, 2)
    assert second.before == first
    assert version_of(cast.session.pk) == before + 2
    assert first.engine
    assert first.proof["groups"]["status"] in ("BEST", "GOOD", "SIMPLE")


def test_the_same_seed_makes_the_same_plan(cast: Cast) -> None:
    everybody_here(cast)
    assert made(cast).answer == made(cast).answer


def test_pair_rules_are_kept(cast: Cast) -> None:
    everybody_here(cast)
    ada, bo, cleo = (str(child.pk) for child in cast.athletes[:3])
    PairRule.objects.create(club=cast.club, kind="together").athletes.set(cast.athletes[:2])
    PairRule.objects.create(club=cast.club, kind="apart").athletes.set(cast.athletes[1:3])
    made(cast)
    found = groups(cast.session)
    assert any({ada, bo} <= group for group in found)
    assert not any({bo, cleo} <= group for group in found)


def test_nobody_of_a_kind_is_alone(cast: Cast) -> None:
    children = everybody_here(cast)
    for child in children:
        child.sex, child.sessions_before = "m", 20
        child.save()
    girls = children[:2]
    for child in girls:
        child.sex = "f"
        child.save()
    made(cast, not_alone=("sex:f",))
    assert any({str(child.pk) for child in girls} <= group for group in groups(cast.session))


def test_a_child_that_only_watches_counts_in_a_group(cast: Cast) -> None:
    everybody_here(cast)
    mark(cast.session, cast.ada, "easy", minutes=1, leave_out=["watching"])
    made(cast)
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert any(str(cast.ada.pk) in group for group in groups(cast.session))
    assert "watching" in page


@pytest.mark.parametrize(
    ("field", "value"),
    [("groups", "0"), ("groups", "ninety"), ("rounds", "-1"), ("work_s", "7"), ("work_s", "33"), ("balance", "height"),
     ("within_years", "9")],
)  # fmt: skip
def test_a_wrong_setting_is_named_and_nothing_is_made(cast: Cast, field: str, value: str) -> None:
    everybody_here(cast)
    response = post(cast.client(cast.hazel), "build", cast.session, **{**SETTINGS, field: value})
    assert response.status_code == 422
    assert response.context["form"].errors[field]
    assert not Plan.objects.exists()


def test_nobody_here_says_what_to_do_first(cast: Cast) -> None:
    response = post(cast.client(cast.hazel), "build", cast.session, **SETTINGS)
    assert response.status_code == 422
    assert "take the register first" in response.content.decode()


def test_more_groups_than_children(cast: Cast) -> None:
    everybody_here(cast, children=6)
    response = post(cast.client(cast.hazel), "build", cast.session, **{**SETTINGS, "groups": "7"})
    assert response.status_code == 422
    assert "7 groups need at least as many children; 6 are here." in response.content.decode()


def test_no_stations(cast: Cast) -> None:
    everybody_here(cast)
    Station.objects.filter(session=cast.session).delete()
    response = post(cast.client(cast.hazel), "build", cast.session, **SETTINGS)
    assert response.status_code == 422
    assert "no stations yet" in response.content.decode()


def test_no_minutes_left(cast: Cast) -> None:
    everybody_here(cast)
    Block.objects.filter(session=cast.session, kind="water").update(seconds=3600)
    response = post(cast.client(cast.hazel), "build", cast.session, **SETTINGS)
    assert response.status_code == 422
    assert "leave no minutes" in response.content.decode()


def test_more_groups_than_stations_rest_in_turn(cast: Cast) -> None:
    everybody_here(cast)
    made(cast, groups=4)
    plan = current_plan(cast.session.pk)
    assert plan is not None
    assert [len(plan.resting(turn)) for turn in (1, 2, 3)] == [1, 1, 1]
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "resting" in page


def test_colours_are_drawn_anew(cast: Cast) -> None:
    everybody_here(cast)
    worn = set()
    for seed in range(12):
        plan = made(cast, seed=seed)
        worn.add(tuple(row["bib"] for row in plan.answer["groups"]))
    assert len(worn) > 3


def test_the_clock_runs_in_the_clubs_own_time(cast: Cast) -> None:
    everybody_here(cast)
    cast.club.time_zone = "Asia/Tokyo"
    cast.club.save()
    made(cast)
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk]))
    first = page.context["page"].turns[0]
    assert first.clock == f"{(cast.session.starts_at + timedelta(minutes=5)):%H:%M}"
