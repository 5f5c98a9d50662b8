"""Missing, away, found: words about one child, only ever added, in the order of the taps."""

from __future__ import annotations

import uuid
from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from clubapp.core.tell import version_of
from clubapp.live.models import Whereabouts
from clubapp.register.actions import OtherTapError
from tests.cast import Cast
from tests.live.evening import helper, leader, pass_of, ready
from tests.live.field import field_of, say, send, standing, station
from tests.rotation.evening import mark


def ringing(cast: Cast) -> list[tuple[str, str]]:
    return [(str(alarm.what), str(alarm.athlete)) for alarm in field_of(cast).alarms]


# --- who may -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda"])
def test_outsiders_say_nothing(cast: Cast, who: str) -> None:
    ready(cast)
    answer = send(cast.client(getattr(cast, who)), "where", cast.session, athlete=cast.ada.pk, said="missing")
    assert (answer.status_code, Whereabouts.objects.count()) == (404, 0)


def test_a_child_of_another_club_is_not_found(cast: Cast) -> None:
    ready(cast)
    zed = cast.other_squad.athletes.get()
    answer = send(cast.client(cast.finn), "where", cast.session, athlete=zed.pk, said="missing")
    assert answer.status_code == 404


def test_a_helper_says_who_is_missing(cast: Cast) -> None:
    ready(cast)
    inside, visitor = helper(pass_of(cast), cast.hazel, "Tom")
    assert send(inside, "where", cast.session, athlete=cast.ada.pk, said="missing", round=1).status_code == 200
    assert Whereabouts.objects.get().visitor == visitor
    assert ringing(cast) == [("missing", str(cast.ada.pk))]


# --- what is said --------------------------------------------------------------------------------------------------


def test_missing_stays_until_somebody_says_where_the_child_is(cast: Cast) -> None:
    ready(cast)
    before = version_of(cast.session.pk)
    say(cast, cast.ada, "missing", round=1, station=station(cast))
    assert version_of(cast.session.pk) == before + 1
    assert ringing(cast) == [("missing", str(cast.ada.pk))]
    say(cast, cast.ada, "group", with_whom="Juno", by=leader(cast))
    assert ringing(cast) == []
    assert [(row.athlete, row.with_whom) for row in field_of(cast).found()] == [(cast.ada, "Juno")]
    assert field_of(cast).found(timezone.now() + timedelta(minutes=10)) == []


def test_said_again_it_does_not_begin_anew(cast: Cast) -> None:
    ready(cast)
    early = timezone.now() - timedelta(minutes=9)
    say(cast, cast.ada, "away", reason="toilet", at=early, round=1)
    say(cast, cast.ada, "away", reason="first_aid", with_whom="Una", round=2)
    (alarm,) = field_of(cast).alarms
    assert (alarm.at, alarm.round, alarm.reason, alarm.with_whom) == (early, 1, "first_aid", "Una")


def test_missing_after_away_begins_when_it_was_said(cast: Cast) -> None:
    ready(cast)
    say(cast, cast.ada, "away", reason="toilet", at=timezone.now() - timedelta(minutes=9), round=1)
    said = timezone.now() - timedelta(minutes=1)
    say(cast, cast.ada, "missing", at=said, round=2)
    (alarm,) = field_of(cast).alarms
    assert (alarm.at, alarm.round) == (said, 2)


def test_an_alarm_that_comes_late_carries_its_age(cast: Cast) -> None:
    ready(cast)
    say(cast, cast.ada, "missing", at=timezone.now() - timedelta(minutes=4))
    (alarm,) = field_of(cast).alarms
    assert 239 <= alarm.late_s <= 241


def test_the_later_tap_counts_whichever_comes_in_first(cast: Cast) -> None:
    """Found on one phone; the other's "missing" was tapped before and comes in after."""
    ready(cast)
    now = timezone.now()
    say(cast, cast.ada, "group", with_whom="Hazel", at=now - timedelta(minutes=1), by=leader(cast))
    say(cast, cast.ada, "missing", at=now - timedelta(minutes=3))
    assert ringing(cast) == []


def test_a_tap_that_saw_another_comes_after_it_whatever_the_clocks_say(cast: Cast) -> None:
    ready(cast)
    say(cast, cast.ada, "missing", at=timezone.now() - timedelta(minutes=1))
    seen = version_of(cast.session.pk)
    say(cast, cast.ada, "group", at=timezone.now() - timedelta(minutes=6), base_version=seen, by=leader(cast))
    assert ringing(cast) == []


def test_who_left_with_an_adult_rings_no_more_and_rings_again_if_that_was_wrong(cast: Cast) -> None:
    ready(cast)
    say(cast, cast.ada, "missing")
    mark(cast.session, cast.ada, "left", minutes=60)
    assert ringing(cast) == []
    mark(cast.session, cast.ada, "here", minutes=60)
    assert ringing(cast) == [("missing", str(cast.ada.pk))]


def test_the_same_tap_twice_counts_once_and_not_for_another_word(cast: Cast) -> None:
    ready(cast)
    op_id = uuid.uuid4()
    first = say(cast, cast.ada, "missing", op_id=op_id)
    assert say(cast, cast.ada, "missing", op_id=op_id) == first
    assert Whereabouts.objects.count() == 1
    with pytest.raises(OtherTapError):
        say(cast, cast.ada, "away", reason="toilet", op_id=op_id)
    with pytest.raises(OtherTapError):
        say(cast, cast.athletes[1], "missing", op_id=op_id)


@pytest.mark.parametrize(
    "fields",
    [{}, {"said": "gone"}, {"said": "hurt"}, {"said": "guest"}, {"said": "guest", "group": 1}, {"said": "away"}],
    ids=str,
)
def test_what_cannot_be_said_by_a_tap(cast: Cast, fields: dict[str, Any]) -> None:
    ready(cast)
    answer = send(cast.client(cast.finn), "where", cast.session, athlete=cast.ada.pk, **fields)
    assert (answer.status_code, Whereabouts.objects.count()) == (422, 0)


def test_a_guest_of_a_group_that_is_not_there_stays_with_the_own(cast: Cast) -> None:
    ready(cast)
    child = standing(cast)[0]
    own = field_of(cast).standing(1).group_of(child.pk)
    say(cast, child, "guest", round=1, group=17)
    assert field_of(cast).standing(1).group_of(child.pk) == own
