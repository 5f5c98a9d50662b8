"""What each adult sees of a running session, and what nobody is shown."""

from __future__ import annotations

import re
from html import unescape
from itertools import pairwise
from typing import Any
from uuid import UUID

import pytest
from django.test import Client
from django.urls import reverse

from clubapp.core.tell import version_of
from clubapp.live import page, queries
from clubapp.live.models import Room, StationHold
from clubapp.people.models import MedicalNote
from clubapp.planning.library.shelf import standard
from clubapp.planning.models import Session, Station
from clubapp.rotation.actions import move_child
from clubapp.rotation.queries import current_plan
from tests.cast import Cast
from tests.live.evening import assistant, give, helper, leader, pass_of, post, ready
from tests.rotation.evening import child_of, mark

STATION = 2


def station(cast: Cast, number: int = STATION) -> Station:
    return cast.session.stations.get(number=number)


def seen(client: Client, name: str, session: Session, *ids: UUID, fragment: bool = False) -> str:
    headers = {"HX-Request": "true"} if fragment else {}
    answer = client.get(reverse(f"live:{name}", args=[session.pk, *ids]), headers=headers)
    assert answer.status_code == 200
    return unescape(answer.content.decode())


# --- who may ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["bell", "state"])
def test_the_anonymous_sign_in_first(cast: Cast, name: str) -> None:
    answer = cast.client().get(reverse(f"live:{name}", args=[cast.session.pk]))
    assert answer["Location"].startswith(reverse("people:sign_in"))


@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda"])
def test_outsiders_find_nothing(cast: Cast, who: str) -> None:
    client, place = cast.client(getattr(cast, who)), station(cast)
    assert client.get(reverse("live:bell", args=[cast.session.pk])).status_code == 404
    assert client.get(reverse("live:state", args=[cast.session.pk])).status_code == 404
    assert client.get(reverse("live:station", args=[cast.session.pk, place.pk])).status_code == 404
    assert client.get(reverse("live:health", args=[cast.session.pk, cast.ada.pk])).status_code == 404
    assert post(client, "hold", cast.session, station=place.pk).status_code == 404
    assert not StationHold.objects.exists()


def test_the_set_up_is_drawn_on_the_page_that_a_phone_keeps_and_not_sent_with_each_change(cast: Cast) -> None:
    ready(cast)
    place = station(cast)
    assert 'class="ground"' not in seen(cast.client(cast.finn), "station", cast.session, place.pk)
    place.diagram = standard()["river-bends"].diagram
    place.save()
    assert seen(cast.client(cast.finn), "station", cast.session, place.pk).count('class="ground"') == 1
    assert 'class="ground"' not in seen(cast.client(cast.finn), "station", cast.session, place.pk, fragment=True)


def test_a_phone_hears_that_its_station_became_another_one(cast: Cast) -> None:
    ready(cast)
    place, finn = station(cast), cast.client(cast.finn)
    address = reverse("live:station", args=[cast.session.pk, place.pk])
    held = re.search(r'"Drawn": "(\w+)"', seen(finn, "station", cast.session, place.pk))
    assert held is not None

    def told() -> str:
        return finn.get(address, headers={"HX-Request": "true", "Drawn": held[1]}).content.decode()

    assert "This station is now" not in told()
    place.name, place.diagram = "Puddle leaps", standard()["puddle-leaps"].diagram
    place.save()
    assert "This station is now: Puddle leaps." in told()
    assert "This station is now" not in seen(finn, "station", cast.session, place.pk)


def test_a_station_of_another_session_is_not_found(cast: Cast) -> None:
    other = cast.other_session.stations.get(number=1)
    client = cast.client(cast.finn)
    assert client.get(reverse("live:station", args=[cast.session.pk, other.pk])).status_code == 404
    assert post(client, "hold", cast.session, station=other.pk).status_code == 404


# --- the leader ------------------------------------------------------------------------------------------------------


def test_opening_makes_the_room_once_and_starts_nothing(cast: Cast) -> None:
    for _time in range(2):
        answer = post(cast.client(cast.hazel), "open", cast.session)
        assert answer["Location"] == reverse("live:bell", args=[cast.session.pk])
    assert Room.objects.count() == 1
    assert not Room.objects.get().commands.exists()


def test_looking_makes_no_room(cast: Cast) -> None:
    ready(cast)
    seen(cast.client(cast.hazel), "bell", cast.session)
    assert not Room.objects.exists()


def test_only_the_leader_has_buttons(cast: Cast) -> None:
    ready(cast)
    assert 'id="controls"' in seen(cast.client(cast.hazel), "bell", cast.session)
    assert 'id="controls"' not in seen(cast.client(cast.finn), "bell", cast.session)


def test_without_groups_the_leader_is_sent_to_make_them(cast: Cast) -> None:
    text = seen(cast.client(cast.hazel), "bell", cast.session)
    assert reverse("rotation:plan", args=[cast.session.pk]) in text
    assert 'value="start"' not in text


def test_who_waits_at_the_gate_is_shown_to_the_leader_alone(cast: Cast) -> None:
    ready(cast)
    helper(pass_of(cast), None, "Tom from the mill")
    assert "Tom from the mill" in seen(cast.client(cast.hazel), "bell", cast.session, fragment=True)
    assert "Tom from the mill" not in seen(cast.client(cast.finn), "bell", cast.session)


def test_letting_in_from_the_page_answers_with_the_list_alone(cast: Cast) -> None:
    ready(cast)
    _phone, visitor = helper(pass_of(cast), None, "Tom")
    path = reverse("live:let_in", args=[cast.session.pk])
    answer = cast.client(cast.hazel).post(path, {"visitor": visitor.pk}, headers={"HX-Request": "true"})
    assert answer.status_code == 200
    assert "Tom" not in answer.content.decode()
    assert "<html" not in answer.content.decode()


def test_a_late_child_stands_there_until_one_tap_places_it(cast: Cast) -> None:
    ready(cast)
    late = child_of(cast, 90)
    mark(cast.session, late, minutes=55)
    client = cast.client(cast.hazel)
    assert "is here, in no group" in seen(client, "bell", cast.session)
    assert "is here, in no group" in seen(cast.client(cast.finn), "station", cast.session, station(cast).pk)
    before = current_plan(cast.session.pk)
    place = reverse("rotation:place", args=[cast.session.pk])
    back = reverse("live:bell", args=[cast.session.pk])
    answer = client.post(place, {"athlete": late.pk, "next": back})
    assert answer["Location"] == back
    after = current_plan(cast.session.pk)
    assert before is not None
    assert after is not None
    assert after.placed == before.placed | {late.pk}
    assert "is here, in no group" not in seen(client, "bell", cast.session)


# --- the station -----------------------------------------------------------------------------------------------------


def test_every_round_stands_on_the_page_so_that_it_goes_on_without_a_network(cast: Cast) -> None:
    ready(cast)
    plan = current_plan(cast.session.pk)
    assert plan is not None
    visits = page.visits(page.evening_of(assistant(cast)), station(cast))
    assert [visit.number for visit in visits] == [1, 2, 3]
    for visit in visits:
        groups = plan.groups_at(station(cast).pk, visit.number)
        assert [group.bib for group in visit.here] == [group.bib for group in groups]
        assert [{child.id for child in group.children} for group in visit.here] == [set(g.athletes) for g in groups]
    for now, after in pairwise(visits):
        assert now.coming == after.here
        assert after.leaving == now.going
        for way, group in zip(now.going, plan.groups_at(station(cast).pk, now.number), strict=True):
            expected = plan.station_of(group.index, now.number + 1)
            assert (way.station.pk if way.station else None) == expected
    assert (visits[0].leaving, visits[-1].going, visits[-1].last) == ((), (), True)


def test_only_children_marked_here_are_counted(cast: Cast) -> None:
    ready(cast)
    mark(cast.session, cast.ada, "left", minutes=59, with_whom="mother")
    groups = [
        group for turn in page.turns(page.evening_of(leader(cast))) for stand in turn.stands for group in stand.groups
    ]
    assert all(cast.ada.pk not in {child.id for child in group.children} for group in groups)
    assert sum("Ada" in group.gone for group in groups) == 3  # named in each round, counted in none


def test_names_follow_a_move_by_hand(cast: Cast) -> None:
    plan = ready(cast)
    give(leader(cast), "start")
    child = UUID(plan.answer["groups"][0]["athletes"][0])
    move_child(session=cast.session, athlete_id=child, group=1, by=cast.hazel)
    turn = page.turns(page.evening_of(leader(cast)))[0]
    bib = plan.answer["groups"][1]["bib"]
    group = next(group for stand in turn.stands for group in stand.groups if group.bib == bib)
    assert child in {one.id for one in group.children}


@pytest.mark.parametrize("who", ["hazel", "finn"])
def test_a_flag_stands_there_and_its_words_one_tap_away(cast: Cast, who: str) -> None:
    ready(cast)
    MedicalNote.objects.create(athlete=cast.ada, note="asthma", what_to_do="Blue inhaler, two puffs.")
    mark(cast.session, cast.athletes[1], "easy", minutes=58, leave_out=["jumps"])
    client = cast.client(getattr(cast, who))
    pages = [seen(client, "station", cast.session, place.pk) for place in cast.session.stations.all()]
    pages.append(seen(client, "bell", cast.session))
    for text in pages:
        assert "inhaler" not in text
        assert "asthma" not in text
        assert "no jumps" not in text
    flagged = reverse("live:health", args=[cast.session.pk, cast.ada.pk])
    assert any(flagged in text for text in pages)
    assert "Blue inhaler, two puffs." in seen(client, "health", cast.session, cast.ada.pk, fragment=True)
    assert "no jumps" in seen(client, "health", cast.session, cast.athletes[1].pk)


def test_a_helper_sees_first_names_only(cast: Cast) -> None:
    ready(cast)
    inside, _visitor = helper(pass_of(cast), cast.hazel)
    pages = [seen(inside, "station", cast.session, place.pk) for place in cast.session.stations.all()]
    text = " ".join([*pages, seen(inside, "bell", cast.session)])
    assert "Ada" in text
    assert "Reed" not in text
    for link in ("register:register", "rotation:plan"):
        assert reverse(link, args=[cast.session.pk]) not in text
    assert "in no group" not in text


def test_two_equal_first_names_are_told_apart(cast: Cast) -> None:
    twin = child_of(cast, 91, family_name="Brook")
    twin.given_name = "Ada"
    twin.save()
    mark(cast.session, twin)
    ready(cast)
    text = " ".join(seen(cast.client(cast.finn), "station", cast.session, s.pk) for s in cast.session.stations.all())
    assert "Ada B" in text
    assert "Ada R" in text


def test_holding_a_station_shows_on_the_leader_s_page(cast: Cast) -> None:
    ready(cast)
    client, first, second = cast.client(cast.finn), station(cast, 1), station(cast, 2)
    before = version_of(cast.session.pk)
    answer = post(client, "hold", cast.session, station=first.pk)
    assert answer["Location"] == reverse("live:station", args=[cast.session.pk, first.pk])
    assert queries.holders(cast.session.pk) == {first.pk: ["Finn"]}
    post(client, "hold", cast.session, station=second.pk)
    inside, visitor = helper(pass_of(cast), cast.hazel, "Una")
    post(inside, "hold", cast.session, station=second.pk)
    assert queries.holders(cast.session.pk) == {second.pk: ["Finn", "Una"]}
    assert version_of(cast.session.pk) > before
    text = seen(cast.client(cast.hazel), "bell", cast.session)
    assert "Finn, Una" in text
    assert queries.station_held_by(assistant(cast)) == second.pk
    post(cast.client(cast.hazel), "refuse", cast.session, visitor=visitor.pk)
    assert queries.holders(cast.session.pk) == {second.pk: ["Finn"]}


@pytest.mark.parametrize("fields", [{}, {"station": "seven"}], ids=str)
def test_a_station_must_be_named(cast: Cast, fields: dict[str, Any]) -> None:
    answer = post(cast.client(cast.finn), "hold", cast.session, **fields)
    assert (answer.status_code, StationHold.objects.count()) == (302, 0)


# --- without any script ----------------------------------------------------------------------------------------------


def test_the_page_holds_the_clock_times_of_the_plan(cast: Cast) -> None:
    """10:00, gather until 10:05, then rounds of equal length."""
    ready(cast)
    plan = current_plan(cast.session.pk)
    assert plan is not None
    evening = page.evening_of(assistant(cast))
    times = [visit.clock for visit in page.visits(evening, station(cast))]
    starts = [entry.starts_s for entry in plan.timetable if entry.kind == "work"]
    assert times == [f"{10 + s // 3600:02}:{s % 3600 // 60:02}" for s in starts]
    assert times[0] == "10:05"
    text = seen(cast.client(cast.finn), "station", cast.session, station(cast).pk)
    assert all(time in text for time in times)


def test_once_it_runs_the_times_are_those_of_the_bell(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    give(leader(cast), "next", seen=1)
    evening = page.evening_of(leader(cast))
    assert evening.clock(1) == ""  # has begun
    between = sum(part.ms for part in evening.state.schedule.segments[1:3])
    began = evening.state.since_ms
    assert evening.clock(2) == evening.wall(page._instant(began + between))


# --- the end ---------------------------------------------------------------------------------------------------------


def test_the_bells_end_says_who_is_still_here_and_where_to_see_them_off(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    client = cast.client(cast.hazel)
    assert "still-here" not in seen(client, "bell", cast.session)
    assert give(leader(cast), "end", seen=1).accepted
    for who in (cast.hazel, cast.finn):
        told = seen(cast.client(who), "bell", cast.session).split('id="still-here"')[1].split("</div>")[0]
        assert "children are still here" in told
        assert "Ada" in told
        assert reverse("register:going_home", args=[cast.session.pk]) in told
    mark(cast.session, cast.ada, "left", minutes=59, with_whom="Greta")
    assert "Ada" not in seen(client, "bell", cast.session).split('id="still-here"')[1].split("</div>")[0]


def test_after_the_end_nobody_is_counted_or_fitted_in_any_more(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    late = child_of(cast, 7)
    mark(cast.session, late, minutes=59)
    client, place = cast.client(cast.hazel), station(cast)

    def offered() -> list[str]:
        field = seen(client, "bell", cast.session) + seen(client, "station", cast.session, place.pk)
        return [what for what in ("is here, in no group", 'data-round="1"') if what in field]

    assert offered() == ["is here, in no group", 'data-round="1"']
    assert give(leader(cast), "end", seen=1).accepted
    assert offered() == []
    button = seen(client, "station", cast.session, place.pk).split('data-count="')[1].split(">")[0]
    assert button.endswith(" hidden")
    assert late.given_name in seen(client, "bell", cast.session).split('id="still-here"')[1].split("</div>")[0]
