"""Every child here is in a group or away, always, whatever is said in whatever order."""

from __future__ import annotations

import uuid
from datetime import UTC, datetime, timedelta
from itertools import count as numbers
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from clubapp.live.models import Whereabouts
from clubapp.live.standing import expected_at, last_words, standing
from clubapp.rotation.actions import place_child
from clubapp.rotation.queries import GroupView, PlanView
from clubapp.rotation.wishes import Wishes
from tests.cast import Cast
from tests.live.evening import leader, ready
from tests.live.field import field_of, hear, say
from tests.rotation.evening import child_of, mark

Kind, Reason = Whereabouts.Kind, Whereabouts.Reason
CHILDREN = [uuid.UUID(int=number) for number in range(1, 9)]
STATIONS = [uuid.UUID(int=100 + number) for number in range(3)]
NOON = datetime(2026, 5, 9, 12, tzinfo=UTC)


def plan_of(groups: list[list[uuid.UUID]]) -> PlanView:
    """Two groups at three stations in three rounds; one rests now and then."""
    rounds = ((STATIONS[0], STATIONS[1]), (STATIONS[1], None), (STATIONS[2], STATIONS[2]))
    views = tuple(GroupView(index, f"bib {index}", tuple(children)) for index, children in enumerate(groups))
    ids = uuid.UUID(int=900), uuid.UUID(int=901)
    return PlanView(*ids, 1, 0, "", "", None, Wishes(), views, rounds, (), frozenset(), {})


words = st.builds(
    lambda child, kind, at, round_no, group: Whereabouts(
        athlete_id=child,
        kind=kind,
        tapped_at=NOON + timedelta(seconds=at),
        round=round_no,
        group=group,
        reason=Reason.TOILET if kind == Kind.AWAY else "",
    ),
    st.sampled_from(CHILDREN),
    st.sampled_from(Kind.values),
    st.integers(0, 40),
    st.none() | st.integers(1, 4),
    st.none() | st.integers(0, 5),
)


@given(
    st.lists(words, max_size=25),
    st.sets(st.sampled_from(CHILDREN)),
    st.lists(st.sampled_from([0, 1, None]), min_size=len(CHILDREN), max_size=len(CHILDREN)),
    st.integers(1, 3),
)
def test_in_a_group_or_away_never_both_never_neither(
    said: list[Whereabouts], here: set[uuid.UUID], home: list[int | None], round_no: int
) -> None:
    """Also with guests of groups that are not there, marks that changed and children the plan does not know."""
    groups = [[child for child, at in zip(CHILDREN, home, strict=True) if at == group] for group in (0, 1)]
    plan = plan_of(groups)
    found = standing(here, plan, last_words(said), round_no)
    placed = [child for children in found.groups.values() for child in children]
    assert sorted([*placed, *found.away]) == sorted(here)
    at_stations = [child for at in (*STATIONS,) for child in expected_at(plan, found, at)]
    resting = [child for group in plan.resting(round_no) for child in found.groups[group.index]]
    assert sorted([*at_stations, *resting]) == sorted(placed)
    for child in here:
        assert (found.group_of(child) is None) == (child in found.away)


def test_without_a_plan_everybody_is_away_in_no_group() -> None:
    found = standing(CHILDREN, None, {}, 1)
    assert found.away == dict.fromkeys(CHILDREN)
    assert expected_at(None, found, STATIONS[0]) == ()


# --- the same over what adults really do, through the actions ------------------------------------------------------

STEPS = ("missing", "away", "group", "guest", "late", "left", "back", "fit in", "heard", "next")


@pytest.mark.django_db
@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.sampled_from(STEPS), st.integers(0, 5)), max_size=12))
def test_a_whole_evening_of_taps(cast: Cast, steps: list[tuple[str, int]]) -> None:
    if not field_of(cast).plan:
        ready(cast)
    round_no, serial = 1, numbers()
    for step, number in steps:
        round_no = step_of(cast, step, number, round_no, next(serial))
        check(cast, round_no)


def step_of(cast: Cast, step: str, number: int, round_no: int, serial: int) -> int:
    child = cast.athletes[number]
    if step == "late":
        late = child_of(cast, 100 + number + serial)
        mark(cast.session, late, minutes=59)
    elif step == "fit in":
        place_unplaced(cast)
    elif step in ("left", "back"):
        mark(cast.session, child, {"left": "left", "back": "here"}[step], minutes=60)
    elif step == "heard":
        for alarm in field_of(cast).alarms:
            hear(cast, alarm.id, leader(cast), round=round_no)
    elif step == "next":
        return round_no % 3 + 1
    else:
        say_one(cast, step, number, round_no)
    return round_no


def say_one(cast: Cast, step: str, number: int, round_no: int) -> None:
    more: dict[str, Any] = {"round": round_no}
    more |= {"reason": Reason.TOILET} if step == "away" else {}
    more |= {"group": number} if step == "guest" else {}
    say(cast, cast.athletes[number], step, **more)


def place_unplaced(cast: Cast) -> None:
    field = field_of(cast)
    assert field.plan is not None
    for child, word in field.standing(1).away.items():
        if word is None and child not in field.plan.placed:
            place_child(session=cast.session, athlete_id=child, by=cast.hazel)


def check(cast: Cast, round_no: int) -> None:
    field = field_of(cast)
    found = field.standing(round_no)
    placed = [child for children in found.groups.values() for child in children]
    assert sorted([*placed, *found.away]) == sorted(field.here)
    missing = {child for child, word in found.away.items() if word is not None and word.kind == Kind.MISSING}
    assert {alarm.athlete for alarm in field.alarms if alarm.what == "missing"} == missing
