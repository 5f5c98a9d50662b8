"""Times from the stop-watch of a session: who may send them, what is kept, and the coach's list of them."""

from __future__ import annotations

import re
import uuid
from datetime import timedelta
from typing import Any

import pytest
from django.db.models import QuerySet
from django.urls import reverse
from django.utils import timezone

from clubapp.people.models import Athlete
from clubapp.results.models import SPEED, Result, Trial
from tests.cast import Cast
from tests.live.evening import helper, leader, pass_of, pass_over, ready
from tests.live.field import field_of, send, standing, station
from tests.rotation.evening import mark


def timed(cast: Cast, who: Any, child: Athlete | None = None, **fields: Any) -> Any:
    """What a phone posts; `who` is an adult or a helper's client."""
    client = who if hasattr(who, "post") else cast.client(who)
    child = child or standing(cast)[0]
    values = {"athlete": child.pk, "trial": "sprint-40-m", "ms": 7_110, "device": "one", **fields}
    return send(client, "result", cast.session, **values)


def kept() -> QuerySet[Result]:
    """What was timed; the roster brought a speed for every child."""
    return Result.objects.exclude(trial__code=SPEED)


# --- who may -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda"])
def test_outsiders_time_nobody_and_see_nothing(cast: Cast, who: str) -> None:
    ready(cast)
    adult = getattr(cast, who)
    assert timed(cast, adult).status_code == 404
    assert kept().count() == 0
    for name, ids in (("stopwatch_all", []), ("stopwatch_at", [station(cast).pk]), ("times", [])):
        assert cast.client(adult).get(reverse(f"live:{name}", args=[cast.session.pk, *ids])).status_code == 404


@pytest.mark.parametrize("who", ["hazel", "finn"])
def test_the_leader_and_an_assistant_of_the_squad_time_children(cast: Cast, who: str) -> None:
    ready(cast)
    answer = timed(cast, getattr(cast, who), station=station(cast).pk)
    assert (answer.status_code, answer.json()["text"]) == (200, "7.2")
    assert kept().get().by == getattr(cast, who)


def test_a_helper_who_was_let_in_times_those_who_are_or_were_here(cast: Cast) -> None:
    ready(cast)
    inside, visitor = helper(pass_of(cast), cast.hazel)
    child, gone = standing(cast)[:2]
    mark(cast.session, gone, "left", minutes=60)
    assert [timed(cast, inside, one).status_code for one in (child, gone)] == [200, 200]
    assert {(row.by, row.helper) for row in kept().all()} == {(None, visitor.pk)}
    absent = Athlete.objects.create(club=cast.club, given_name="Ivo")
    absent.squads.add(cast.squad)
    assert timed(cast, inside, absent).status_code == 404
    assert timed(cast, cast.finn, absent).status_code == 200  # an account sees the whole register
    page = inside.get(reverse("live:stopwatch_at", args=[cast.session.pk, station(cast).pk])).content.decode()
    assert "Ivo" not in page


def test_at_the_gate_and_after_the_pass_nobody_is_timed(cast: Cast) -> None:
    ready(cast)
    waiting, _visitor = helper(entry := pass_of(cast), None)
    assert timed(cast, waiting).status_code == 302
    inside, _visitor = helper(entry, cast.hazel)
    pass_over(cast.session)
    assert timed(cast, inside).status_code in (302, 401)
    assert kept().count() == 0


def test_a_child_of_another_register_is_not_there(cast: Cast) -> None:
    ready(cast)
    zed = cast.other_squad.athletes.get()
    assert timed(cast, cast.hazel, zed).status_code == 404
    assert timed(cast, cast.hazel, station=cast.other_session.stations.earliest("number").pk).status_code == 404


# --- what is kept --------------------------------------------------------------------------------------------------


def test_two_phones_on_one_runner_are_one_time(cast: Cast) -> None:
    ready(cast)
    child = standing(cast)[0]
    assert timed(cast, cast.finn, child, ms=10_110).json()["text"] == "10.2"
    answer = timed(cast, cast.hazel, child, ms=10_310, device="two").json()
    assert (answer["text"], answer["watches"]) == ("10.4", 2)


def test_the_same_write_twice_is_one_and_another_under_its_id_is_refused(cast: Cast) -> None:
    ready(cast)
    op_id = uuid.uuid4()
    first = timed(cast, cast.finn, op_id=op_id)
    assert timed(cast, cast.finn, op_id=op_id).json() == first.json()
    other = timed(cast, cast.finn, op_id=op_id, ms=7_300)
    assert (other.status_code, "something else" in other.json()["text"]) == (409, True)
    assert kept().count() == 1


def test_slipped_and_redone_keep_the_first_time(cast: Cast) -> None:
    ready(cast)
    op_id = uuid.uuid4()
    child = standing(cast)[0]
    timed(cast, cast.finn, child, op_id=op_id)
    assert timed(cast, cast.finn, child, replaces=op_id, state="slipped").json()["state"] == "slipped"
    assert timed(cast, cast.finn, child, replaces=op_id, ms=6_900).json()["text"] == "6.9"
    assert sorted(kept().values_list("value_ms", "state")) == [(6_900, ""), (7_110, ""), (7_110, "slipped")]
    assert timed(cast, cast.finn, child, replaces=uuid.uuid4()).status_code == 409


def test_a_time_that_waited_on_the_phone_is_of_when_the_child_ran(cast: Cast) -> None:
    ready(cast)
    tapped = timezone.now() - timedelta(minutes=20)
    timed(cast, cast.finn, tapped_at=tapped.isoformat(), ago_ms=90_000)
    row = kept().get()
    assert row.ran_at is not None
    assert abs(row.ran_at - (tapped - timedelta(seconds=90))) < timedelta(seconds=1)


def test_a_time_stays_with_its_child_when_the_groups_move(cast: Cast) -> None:
    ready(cast)
    child = standing(cast)[0]
    timed(cast, cast.finn, child, station=station(cast).pk)
    assert child not in standing(cast, 1, 2)
    timed(cast, cast.finn, child, station=station(cast).pk, attempt=2, ms=7_000)
    assert {row.athlete_id for row in kept().all()} == {child.pk}
    assert field_of(cast).alarms == ()


def test_what_a_station_does_is_one_test_also_next_week(cast: Cast) -> None:
    ready(cast)
    for number in (1, 2):
        timed(cast, cast.finn, trial=f"station-station-{number}", station=station(cast, number).pk, attempt=number)
    assert set(Trial.objects.exclude(code=SPEED).values_list("code", "name")) == {
        ("station-station-1", "Station 1"),
        ("station-station-2", "Station 2"),
    }
    assert timed(cast, cast.finn, trial="station-station-1", station=station(cast, 2).pk).status_code == 200
    assert timed(cast, cast.finn, trial="long-jump").status_code == 404
    assert timed(cast, cast.finn, trial="station-station-3").status_code == 404  # that station was not named


@pytest.mark.parametrize(
    "fields",
    [
        {"ms": 0},
        {"ms": "fast"},
        {"ms": ""},
        {"ms": "", "seconds": "0"},
        {"state": "fine"},
        {"attempt": 0},
        {"ago_ms": -1},
    ],
    ids=str,
)
def test_what_is_no_time(cast: Cast, fields: dict[str, Any]) -> None:
    ready(cast)
    assert (timed(cast, cast.finn, **fields).status_code, kept().count()) == (422, 0)


# --- pages ---------------------------------------------------------------------------------------------------------


def test_a_time_of_another_watch_is_typed_without_a_script(cast: Cast) -> None:
    ready(cast)
    client, child = cast.client(cast.finn), standing(cast)[0]
    page = reverse("live:stopwatch_at", args=[cast.session.pk, station(cast).pk])
    plain = client.get(page).content.decode().split("<noscript>")[-1].split("</noscript>")[0]
    assert f'value="{child.pk}"' in plain
    fields = {"athlete": child.pk, "trial": "sprint-20-m", "seconds": "4,31", "station": station(cast).pk}
    answer = client.post(reverse("live:result", args=[cast.session.pk]), fields, follow=True)
    assert answer.redirect_chain[0][0] == page
    assert "4.4" in answer.content.decode()
    assert kept().get().value_ms == 4_310


def test_the_coach_s_list_is_in_the_order_of_names_and_says_who_is_missing(cast: Cast) -> None:
    ready(cast)
    here = sorted(standing(cast), key=lambda child: child.given_name)
    for child, ms in zip(here[:3], (8_000, 7_000, 7_500), strict=True):
        timed(cast, cast.finn, child, ms=ms)
    timed(cast, cast.finn, here[0], ms=7_800, attempt=2)
    timed(cast, cast.finn, here[1], ms=6_500, attempt=2, state="slipped")
    address = reverse("live:times", args=[cast.session.pk])
    text = re.sub(r"<[^>]+>|\s+", " ", cast.client(cast.hazel).get(address).content.decode())
    names = [child.given_name for child in here]
    assert text.index(names[0]) < text.index(names[1]) < text.index(names[2])
    assert re.search(rf"{names[0]} +8\.0 +7\.8 +best", text)
    assert re.search(rf"{names[1]} +7\.0 +best +6\.5 +slipped", text)
    assert names[3] in text.split("Here and not timed:")[1]
    assert cast.client(cast.finn).get(address).status_code == 404


def test_the_list_says_who_was_better_than_ever_and_nothing_of_the_others(cast: Cast) -> None:
    ready(cast)
    better, worse = sorted(standing(cast), key=lambda child: child.given_name)[:2]
    for child, ms in ((better, 7_500), (worse, 7_500)):
        timed(cast, cast.finn, child, ms=ms)
    Result.objects.exclude(trial__code=SPEED).update(on=cast.session.date - timedelta(days=7))
    for child, ms in ((better, 7_400), (worse, 7_600)):
        timed(cast, cast.finn, child, ms=ms, attempt=2)
    found = cast.client(cast.hazel).get(reverse("live:times", args=[cast.session.pk]))
    (test,) = found.context["times"]
    assert [(row.name, row.personal, len(row.runs)) for row in test.children] == [
        (better.given_name, True, 1),
        (worse.given_name, False, 1),
    ]


def test_the_phone_is_told_how_often_each_child_was_timed_before(cast: Cast) -> None:
    ready(cast)
    child = standing(cast)[0]
    timed(cast, cast.finn, child, attempt=2)
    page = cast.client(cast.hazel).get(reverse("live:stopwatch_all", args=[cast.session.pk]))
    assert page.context["stopwatch"]["attempts"] == {"sprint-40-m": {str(child.pk): 2}}
    codes = [test["code"] for test in page.context["stopwatch"]["tests"]]
    assert codes[0] == "sprint-40-m"  # the club's own first
    assert (len(codes), len(set(codes)), codes[-1]) == (
        18,
        18,
        SPEED,
    )  # what groups go by is nobody's slip of the thumb
    assert leader(cast).leads


@pytest.mark.parametrize("who", ["hazel", "finn"])
@pytest.mark.parametrize("name", ["bell", "station", "stopwatch_at", "stopwatch_all"])
def test_stop_can_be_held_once_on_every_page_of_the_field(cast: Cast, who: str, name: str) -> None:
    ready(cast)
    ids = [station(cast).pk] if name in ("station", "stopwatch_at") else []
    page = cast.client(getattr(cast, who)).get(reverse(f"live:{name}", args=[cast.session.pk, *ids]))
    assert page.content.decode().count('name="kind" value="stop"') == 1


@pytest.mark.parametrize("name", ["station", "stopwatch_at", "stopwatch_all", "caller_at", "caller_all"])
def test_every_page_beside_the_bell_has_sound_and_its_field_by_itself(cast: Cast, name: str) -> None:
    ready(cast)
    ids = [station(cast).pk] if name in ("station", "stopwatch_at", "caller_at") else []
    address = reverse(f"live:{name}", args=[cast.session.pk, *ids])
    assert cast.client(cast.finn).get(address).content.decode().count("data-sound-open") == 1
    field = cast.client(cast.finn).get(address, headers={"HX-Request": "true"}).content.decode().strip()
    assert field.startswith('<div class="live" id="field"')
    assert "<h1" not in field
