"""What a coach may ask of the way round the stations: few hard ones in a row, adults who stay, an even succession."""

from __future__ import annotations

from itertools import pairwise

import pytest
from django.urls import reverse

from clubapp.planning.models import Station
from clubapp.rotation.models import Plan
from clubapp.rotation.wishes import from_stored
from tests.cast import Cast
from tests.rotation.evening import SETTINGS, everybody_here, made, post


def hard(cast: Cast, *numbers: int) -> None:
    Station.objects.filter(session=cast.session, number__in=numbers).update(intensity=Station.Intensity.HARD)


def six_stations(cast: Cast) -> None:
    """In a row, twenty metres from one to the next."""
    for number in (4, 5, 6):
        cast.session.stations.create(number=number, name=f"Hop {number}")
    for station in cast.session.stations.all():
        station.x_m, station.y_m = 20.0 * station.number, 0.0
        station.save()


def rounds(cast: Cast) -> list[list[str | None]]:
    found: list[list[str | None]] = Plan.objects.get(session=cast.session).answer["rounds"]
    return found


def page_of(cast: Cast) -> str:
    return cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()


def test_what_is_asked_is_kept_and_shown_again(cast: Cast) -> None:
    everybody_here(cast)
    asked = {"hard_run": "2", "adults_stay": "3", "succession": "on"}
    assert post(cast.client(cast.hazel), "build", cast.session, **{**SETTINGS, **asked}).status_code == 302
    wishes = from_stored(Plan.objects.get().wishes)
    assert (wishes.hard_run, wishes.adults_stay, wishes.succession) == (2, 3, True)
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk]))
    form = page.context["form"]
    assert [form[name].value() for name in ("hard_run", "adults_stay", "succession")] == ["2", 3, True]
    text = page.content.decode()
    for said in ("at most 2 hard stations in a row", "adults stay at 3 stations", "stations in balanced succession"):
        assert said in text


def test_nothing_of_it_is_asked_unless_the_coach_asks(cast: Cast) -> None:
    everybody_here(cast)
    post(cast.client(cast.hazel), "build", cast.session, **SETTINGS)
    wishes = from_stored(Plan.objects.get().wishes)
    assert (wishes.hard_run, wishes.adults_stay, wishes.succession) == (None, None, False)


@pytest.mark.parametrize(("field", "value"), [("hard_run", "0"), ("adults_stay", "0"), ("adults_stay", "many")])
def test_a_wish_that_is_none_is_refused(cast: Cast, field: str, value: str) -> None:
    everybody_here(cast)
    response = post(cast.client(cast.hazel), "build", cast.session, **{**SETTINGS, field: value})
    assert response.status_code == 422
    assert response.context["form"].errors[field]


def test_with_two_adults_who_stay_three_groups_are_to_rest_in_turn_or_adults_to_go(cast: Cast) -> None:
    everybody_here(cast)
    response = post(cast.client(cast.hazel), "build", cast.session, **{**SETTINGS, "rounds": "2", "adults_stay": "2"})
    assert response.status_code == 422
    assert {field for way in response.context["clashes"] for field in way.fields if field[0] == "dropped"} == {
        ("dropped", "rest"),
        ("dropped", "staffed"),
    }
    made(cast, rounds=2, adults_stay=2, dropped=("rest",))
    assert all(len({where for where in turn if where}) == 2 for turn in rounds(cast))


def test_no_group_is_at_two_hard_stations_in_a_row(cast: Cast) -> None:
    six_stations(cast)
    everybody_here(cast)
    hard(cast, 1, 2, 3)
    made(cast, groups=3, rounds=6, hard_run=1)
    tough = {str(pk) for pk in Station.objects.filter(session=cast.session, number__lte=3).values_list("pk", flat=True)}
    for group in zip(*rounds(cast), strict=True):
        assert not any(one in tough and other in tough for one, other in pairwise(group))


def test_what_the_rule_costs_in_walking_is_told(cast: Cast) -> None:
    six_stations(cast)
    everybody_here(cast)
    hard(cast, 1, 2, 3)
    made(cast, groups=3, rounds=6, hard_run=1)
    assert "With at most one hard station in a row the groups walk" in page_of(cast)
    Plan.objects.all().delete()
    made(cast, groups=3, rounds=6)
    assert "hard station in a row the groups walk" not in page_of(cast)


def test_a_rule_on_hard_stations_that_cannot_be_kept_can_be_left_out(cast: Cast) -> None:
    everybody_here(cast)
    hard(cast, 1, 2, 3)
    client = cast.client(cast.hazel)
    response = post(client, "build", cast.session, **{**SETTINGS, "hard_run": "1"})
    assert response.status_code == 422
    way = next(way for way in response.context["clashes"] if ("dropped", "hard_run") in way.fields)
    assert way.button == "Leave out the rule on hard stations in a row"
    sent: dict[str, list[str]] = {}
    for name, value in way.fields:
        sent.setdefault(name, []).append(value)
    assert client.post(reverse("rotation:build", args=[cast.session.pk]), sent).status_code == 302
    wishes = from_stored(Plan.objects.get().wishes)
    assert (wishes.hard_run, wishes.most_hard) == (1, None)
