"""An evening to plan: children marked here, with speeds and skill, and the buttons of the plan page."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from django.test import Client
from django.urls import reverse
from django.utils import timezone

from clubapp.engine import groups as engine_groups
from clubapp.engine.words import BIBS
from clubapp.live.models import Command, Room
from clubapp.people.models import Athlete
from clubapp.planning.models import Session
from clubapp.register.models import Mark
from clubapp.results.models import Result, Trial
from clubapp.rotation import bridge
from clubapp.rotation.actions import Order, make_groups
from clubapp.rotation.evening import evening_of
from clubapp.rotation.models import Plan
from clubapp.rotation.wishes import Wishes
from tests.cast import AthleteFactory, Cast, make_children

WORK_AND_CHANGE = (("work", 420), ("change", 60))
SETTINGS: dict[str, Any] = {
    "groups": "3",
    "rounds": "3",
    "work_s": "",
    "change_s": "",
    "balance": ["speed_s", "age", "skill"],
    "not_alone": [],
    "within_years": "",
}


def mark(session: Session, child: Athlete | UUID, kind: str = "here", minutes: int = 0, **more: Any) -> Mark:
    """One mark, tapped an hour ago and so many minutes."""
    athlete_id = child.pk if isinstance(child, Athlete) else child
    at: datetime = timezone.now() - timedelta(minutes=60 - minutes)
    return Mark.objects.create(session=session, athlete_id=athlete_id, kind=kind, tapped_at=at, **more)


def everybody_here(cast: Cast, children: int = 12) -> list[Athlete]:
    """The cast and more children, each with a speed and marked here, from eight to about eleven years old."""
    more = make_children(cast.club, cast.squad, [f"Kit{number}" for number in range(children - len(cast.athletes))])
    everybody = [*cast.athletes, *more]
    trial, _made = Trial.objects.get_or_create(club=cast.club, code="speed", defaults={"name": "Speed run"})
    for place, child in enumerate(everybody):
        child.date_of_birth = birthday(place)
    Athlete.objects.bulk_update(everybody, ["date_of_birth"])
    at = timezone.now() - timedelta(minutes=60)
    here = [Mark(session=cast.session, athlete=child, kind="here", tapped_at=at) for child in everybody]
    Mark.objects.bulk_create(here)
    ran = [a_run(trial, child, 6000 + 137 * (place * 7 % 11)) for place, child in enumerate(everybody)]
    Result.objects.bulk_create(ran)
    return everybody


def birthday(place: int) -> date:
    """Ages close enough that the rule on ages can be kept, whatever other tests made before."""
    return date(2015, 3, 1) + timedelta(days=83 * place)


def born(child: Athlete, place: int) -> None:
    child.date_of_birth = birthday(place)
    child.save()


def child_of(cast: Cast, number: int = 0, **more: Any) -> Athlete:
    born = date(2015, 6, 1) + timedelta(days=83 * number)
    child = AthleteFactory(club=cast.club, given_name=f"Kit{number}", date_of_birth=born, **more)
    child.squads.add(cast.squad)
    return child


def a_run(trial: Trial, child: Athlete, value_ms: int) -> Result:
    at = datetime.fromisoformat("2026-01-10T10:00:00+00:00")
    return Result(trial=trial, athlete=child, on=at.date(), value_ms=value_ms, tapped_at=at)


def run(trial: Trial, child: Athlete, value_ms: int) -> Result:
    result = a_run(trial, child, value_ms)
    result.save()
    return result


def wishes(**changed: Any) -> Wishes:
    return Wishes(**{"groups": 3, "rounds": 3, "not_alone": (), "within_years": None, **changed})


def made(cast: Cast, seed: int = 1, **changed: Any) -> Plan:
    """Groups made by the head coach."""
    plan = make_groups(order=Order(cast.session, cast.hazel, wishes(**changed), seed=seed))
    assert isinstance(plan, Plan)
    return plan


def standing(cast: Cast, parts: int = 3) -> Plan:
    """Groups counted off and stored, for what does not depend on how groups are made."""
    asked, evening = wishes(groups=parts), evening_of(cast.session)
    counted = engine_groups.count_off(bridge.groups_problem(evening, asked)).groups
    stations = [str(station.pk) for station in evening.stations]
    answer = {
        "groups": [{"bib": bib, "athletes": list(group)} for bib, group in zip(BIBS, counted, strict=False)],
        "rounds": [[stations[(group + turn) % len(stations)] for group in range(parts)] for turn in range(3)],
        "timetable": [{"kind": "gather", "seconds": 300, "round": None}, *work_and_change(3)],
    }
    before = Plan.objects.filter(session=cast.session).first()
    return Plan.objects.create(
        session=cast.session,
        version=before.version + 1 if before else 1,
        before=before,
        wishes=asked.stored(),
        answer=answer,
        engine="1",
        why="built",
        by=cast.hazel,
    )


def ring(cast: Cast) -> Room:
    """The bell is running."""
    room = Room.objects.create(session=cast.session)
    Command.objects.create(room=room, seq=1, seen=0, kind="start", at_ms=1, tapped_at=timezone.now(), by=cast.hazel)
    return room


def work_and_change(rounds: int) -> list[dict[str, Any]]:
    parts = [{"kind": kind, "seconds": s, "round": turn + 1} for turn in range(rounds) for kind, s in WORK_AND_CHANGE]
    return parts[:-1]


def post(client: Client, action: str, session: Session, **fields: Any) -> Any:
    return client.post(reverse(f"rotation:{action}", args=[session.pk]), fields)


def groups(session: Session) -> list[set[str]]:
    """Ids by group of the current plan."""
    plan = Plan.objects.filter(session=session).first()
    assert plan is not None
    return [set(row["athletes"]) for row in plan.answer["groups"]]


def spot(session: Session, child: Athlete) -> int:
    """The index of the group in which a child stands."""
    return next(index for index, group in enumerate(groups(session)) if str(child.pk) in group)


def said(response: Any) -> list[str]:
    """The messages of the page a tap led to."""
    return [str(message) for message in response.context["messages"]]
