"""An assistant counts the children at a station; what is expected is known to the club, not to the phone."""

from __future__ import annotations

import uuid
from typing import Any

import pytest
from django.urls import reverse

from clubapp.core.tell import version_of
from clubapp.live.actions import RefusedError
from clubapp.live.models import HeadCount, Whereabouts
from clubapp.register.actions import OtherTapError
from clubapp.rotation.actions import move_child
from clubapp.rotation.queries import current_plan
from tests.cast import Cast
from tests.live.evening import helper, leader, pass_of, ready
from tests.live.field import count, field_of, say, send, standing, station
from tests.rotation.evening import child_of, mark


def tally(cast: Cast, number: int = 1, round_no: int = 1) -> tuple[int | None, int, int]:
    """What was counted, how many too few and too many nobody named."""
    found = field_of(cast).tally(station(cast, number).pk, round_no)
    return (found.count.counted if found.count else None), found.short, found.extra


# --- who may -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda"])
def test_outsiders_count_nobody(cast: Cast, who: str) -> None:
    ready(cast)
    answer = send(cast.client(getattr(cast, who)), "count", cast.session, station(cast).pk, round=1, counted=4)
    assert (answer.status_code, HeadCount.objects.count()) == (404, 0)


def test_a_helper_who_was_let_in_counts(cast: Cast) -> None:
    ready(cast)
    inside, visitor = helper(pass_of(cast), cast.hazel, "Tom")
    answer = send(inside, "count", cast.session, station(cast).pk, round=1, counted=4)
    assert answer.status_code == 200
    row = HeadCount.objects.get()
    assert (row.visitor, row.by, row.name) == (visitor, None, "Tom")


def test_the_leader_enters_a_shouted_count_for_any_station(cast: Cast) -> None:
    ready(cast)
    answer = send(cast.client(cast.hazel), "count", cast.session, station(cast, 3).pk, round=1, counted=4)
    assert answer.json()["short"] == 0
    assert tally(cast, 3) == (4, 0, 0)


# --- the count -----------------------------------------------------------------------------------------------------


def test_not_counted_is_quiet(cast: Cast) -> None:
    ready(cast)
    assert tally(cast) == (None, 0, 0)
    assert field_of(cast).alarms == ()


def test_equal_is_counted(cast: Cast) -> None:
    ready(cast)
    before = version_of(cast.session.pk)
    answer = count(cast, 4)
    assert answer == {"counted": 4, "expected": 4, "short": 0, "extra": 0, "version": before + 1}
    assert tally(cast) == (4, 0, 0)
    assert field_of(cast).alarms == ()


def test_too_few_stays_open_until_each_is_named(cast: Cast) -> None:
    ready(cast)
    op_id = uuid.uuid4()
    one, two = standing(cast)[:2]
    assert count(cast, 2, op_id=op_id)["short"] == 2
    assert [(alarm.what, alarm.short) for alarm in field_of(cast).alarms] == [("short", 2)]
    say(cast, one, "missing", round=1, count=op_id, station=station(cast))
    assert tally(cast) == (2, 1, 0)
    say(cast, two, "away", reason="toilet", count=op_id, station=station(cast))
    assert tally(cast) == (2, 0, 0)
    assert [alarm.what for alarm in field_of(cast).alarms] == ["missing", "away"]
    assert count(cast, 2)["short"] == 0  # both are known to be elsewhere


def test_too_many_asks_who_and_settles_the_child(cast: Cast) -> None:
    ready(cast)
    op_id = uuid.uuid4()
    stranger = standing(cast, 2)[0]
    assert count(cast, 5, op_id=op_id)["extra"] == 1
    assert tally(cast) == (5, 0, 1)
    own, group = (field_of(cast).standing(1).group_of(child.pk) for child in (stranger, standing(cast)[0]))
    say(cast, stranger, "guest", round=1, group=group, count=op_id)
    assert tally(cast) == (5, 0, 0)
    assert stranger in standing(cast, 1)
    assert stranger not in standing(cast, 2)
    assert field_of(cast).standing(2).group_of(stranger.pk) == own  # for this round only
    assert count(cast, 3, 2)["short"] == 0


def test_a_missing_child_who_turns_up_elsewhere_is_found_by_the_count(cast: Cast) -> None:
    ready(cast)
    child = standing(cast)[0]
    say(cast, child, "missing", round=1)
    op_id = uuid.uuid4()
    assert count(cast, 5, 2, op_id=op_id)["extra"] == 1
    say(cast, child, "group", with_whom="Finn", count=op_id)
    assert field_of(cast).alarms == ()
    assert tally(cast, 2) == (5, 0, 0)


def test_a_phone_that_had_not_seen_the_newest_groups_has_not_counted_everybody(cast: Cast) -> None:
    ready(cast)
    seen = version_of(cast.session.pk)
    mover = standing(cast, 2)[0]
    plan = current_plan(cast.session.pk)
    assert plan is not None
    to = plan.groups_at(station(cast).pk, 1)[0].index
    move_child(session=cast.session, athlete_id=mover.pk, group=to, by=cast.hazel)
    assert count(cast, 4, base_version=seen)["short"] == 1


def test_a_child_gone_home_is_not_expected(cast: Cast) -> None:
    ready(cast)
    mark(cast.session, standing(cast)[0], "left", minutes=60)
    assert count(cast, 3)["short"] == 0


def test_a_late_child_in_no_group_is_extra_and_may_stay(cast: Cast) -> None:
    ready(cast)
    late = child_of(cast, 95)
    mark(cast.session, late, minutes=55)
    op_id = uuid.uuid4()
    assert count(cast, 5, op_id=op_id)["extra"] == 1
    say(cast, late, "guest", round=1, group=0, count=op_id)
    assert field_of(cast).standing(1).group_of(late.pk) == 0


def test_the_last_count_of_a_round_counts_and_every_one_is_kept(cast: Cast) -> None:
    ready(cast)
    count(cast, 3)
    count(cast, 4)
    assert (tally(cast), HeadCount.objects.count()) == ((4, 0, 0), 2)
    assert field_of(cast).alarms == ()


# --- once ----------------------------------------------------------------------------------------------------------


def test_the_same_tap_twice_is_one_count_with_one_answer(cast: Cast) -> None:
    ready(cast)
    op_id = uuid.uuid4()
    first = count(cast, 3, op_id=op_id)
    say(cast, standing(cast)[0], "away", reason="toilet")
    assert count(cast, 3, op_id=op_id) == first
    assert HeadCount.objects.count() == 1


def test_a_tap_that_was_something_else_is_refused(cast: Cast) -> None:
    ready(cast)
    op_id = uuid.uuid4()
    count(cast, 3, op_id=op_id)
    with pytest.raises(OtherTapError):
        count(cast, 4, op_id=op_id)
    answer = send(cast.client(cast.finn), "count", cast.session, station(cast).pk, round=1, counted=4, op_id=op_id)
    assert (answer.status_code, HeadCount.objects.get().counted) == (409, 3)


def test_a_round_that_is_not_there(cast: Cast) -> None:
    with pytest.raises(RefusedError):
        count(cast, 3)
    ready(cast)
    with pytest.raises(RefusedError):
        count(cast, 3, round_no=4)


@pytest.mark.parametrize(
    "fields", [{}, {"counted": "many", "round": 1}, {"counted": -1, "round": 1}, {"counted": 3, "round": 0}], ids=str
)
def test_what_is_no_count(cast: Cast, fields: dict[str, Any]) -> None:
    ready(cast)
    answer = send(cast.client(cast.finn), "count", cast.session, station(cast).pk, **fields)
    assert (answer.status_code, HeadCount.objects.count()) == (422, 0)


# --- without a script ----------------------------------------------------------------------------------------------


def test_nothing_is_chosen_beforehand_and_a_short_count_asks_who(cast: Cast) -> None:
    ready(cast)
    client, page = cast.client(cast.finn), reverse("live:count", args=[cast.session.pk, station(cast).pk])
    numbers = client.get(page).content.decode().split('class="numbers"')[1].split("</form>")[0]
    assert numbers.count('name="counted"') == 16
    assert not {"checked", "selected", "autofocus", "aria-pressed", "aria-current"} & set(
        numbers.replace("=", " ").split()
    )
    answer = client.post(page, {"round": 1, "counted": 3})
    assert "asked=" in answer["Location"]
    asked = client.get(answer["Location"]).content.decode()
    for child in standing(cast):
        assert f'value="{child.pk}"' in asked
    who, op_id = standing(cast)[0], HeadCount.objects.get().op_id
    where = reverse("live:where", args=[cast.session.pk])
    fields = {"athlete": who.pk, "said": "missing", "station": station(cast).pk, "round": 1, "count": op_id}
    answer = client.post(where, fields)
    assert "Everybody is accounted for" in client.get(answer["Location"]).content.decode()
    assert Whereabouts.objects.get().kind == "missing"


def test_an_equal_count_goes_back(cast: Cast) -> None:
    ready(cast)
    page = reverse("live:count", args=[cast.session.pk, station(cast).pk])
    answer = cast.client(cast.finn).post(page, {"round": 1, "counted": 4})
    assert answer["Location"] == reverse("live:station", args=[cast.session.pk, station(cast).pk])
    answer = cast.client(cast.hazel).post(page, {"round": 1, "counted": 4})
    assert answer["Location"] == reverse("live:bell", args=[cast.session.pk])


def test_the_leader_s_board_shows_every_station_s_count(cast: Cast) -> None:
    ready(cast)
    count(cast, 4, by=leader(cast))
    count(cast, 3, 2)
    text = cast.client(cast.hazel).get(reverse("live:bell", args=[cast.session.pk])).content.decode()
    assert "4 counted" in text
    assert "3 of 4: who?" in text
    assert "not counted" in text
